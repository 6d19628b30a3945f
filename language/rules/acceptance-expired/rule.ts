import { isInForce } from "@limbwright/shared/finding";
import { agentsOf, canonicalName, type MaximumAnswer } from "../../model/index.ts";
import { acceptancesFor } from "../engine/acceptances.ts";
import type { Rule, RuleContext } from "../engine/definition.ts";
import { found, type Judgement } from "../engine/judgement.ts";

export const rule: Rule = {
  comesLast: true,
  judge,
};

function judge({ protocol, on }: RuleContext): Judgement {
  const ended = acceptancesFor(protocol).filter(({ until }) => until < on);
  const answers = (protocol.localRules?.answers ?? []).filter((one) => !isInForce(one, on));
  const isHere = ({ agent }: MaximumAnswer) =>
    agentsOf(protocol).some((one) => canonicalName(one.name) === canonicalName(agent));
  return found(
    ...answers.filter(isHere).map((answer) => ({
      origin: answer.agentOrigin,
      what: `The answer for the maximum of \`${answer.agent}\` ended on ${answer.until}; nothing stands in the place of the published value.`,
      label: "ended",
      next: `Have "${answer.by}" look whether ${answer.source} still says so, and write a new date; or remove the line.`,
    })),
    ...ended.map((acceptance) => ({
      origin: acceptance.ruleOrigin,
      what: `The acceptance of \`${acceptance.rule}\` ended on ${acceptance.until}; what it covered counts again.`,
      label: "ended",
      next: `Mend what \`${acceptance.rule}\` finds; or have "${acceptance.by}" look at it again and write a new date; or remove the line.`,
    })),
  );
}
