import { isInForce } from "../engine/acceptances.ts";
import { found, type Judgement, type Rule, type RuleContext } from "../engine/definition.ts";
import { tellUnused } from "./unused.ts";

export const rule: Rule<"findings"> = {
  id: "acceptance-unused",
  title: "An acceptance covers something that is found",
  group: "governance",
  severity: "advice",
  acceptable: false,
  why: "It would silently cover the next finding of that rule, which nobody has looked at.",
  sources: [
    {
      source: "common-practice",
      says: "an acceptance is removed with what it was for: so that it cannot cover what comes later",
    },
  ],
  needs: ["findings"],
  judgedOnDate: true,
  judge,
};

/**
 * Acceptances for this protocol alone (`in`). Those for every protocol with these local rules can only be
 * judged when all of them were: see `AcceptanceUse`. A rule that is not decided may still need its own.
 */
function judge({ protocol, on, holding }: RuleContext<"findings">): Judgement {
  const unused = (protocol.localRules?.acceptances ?? []).filter(
    (one) => one.protocol === protocol.name && isInForce(one, on) && holding.includes(one.rule),
  );
  return found(...unused.map((acceptance) => tellUnused(acceptance, `\`${protocol.name}\``)));
}
