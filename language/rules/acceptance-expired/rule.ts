import { acceptancesFor } from "../engine/acceptances.ts";
import type { Rule, RuleContext } from "../engine/definition.ts";
import { found, type Judgement } from "../engine/judgement.ts";

export const rule: Rule = {
  comesLast: true,
  judge,
};

function judge({ protocol, on }: RuleContext): Judgement {
  const ended = acceptancesFor(protocol).filter(({ until }) => until < on);
  return found(
    ...ended.map((acceptance) => ({
      origin: acceptance.ruleOrigin,
      what: `The acceptance of \`${acceptance.rule}\` ended on ${acceptance.until}; what it covered counts again.`,
      label: "ended",
      next: `Mend what \`${acceptance.rule}\` finds; or have "${acceptance.by}" look at it again and write a new date; or remove the line.`,
    })),
  );
}
