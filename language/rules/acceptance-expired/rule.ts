import { acceptancesFor } from "../engine/acceptances.ts";
import { found, type Judgement, type Rule, type RuleContext } from "../engine/definition.ts";

export const rule: Rule = {
  id: "acceptance-expired",
  title: "An acceptance is renewed before it ends",
  group: "governance",
  severity: "doubtful",
  acceptable: false,
  why: "From the day after its end the finding counts again, and the protocol is no longer what was agreed to.",
  sources: [
    {
      source: "common-practice",
      says: "an accepted risk has an end at which it is looked at again: how long is the hospital's to say",
    },
  ],
  judgedOnDate: true,
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
