import { isInForce } from "@limbwright/shared/finding";
import type { Acceptance, DeclaredRules } from "../../model/index.ts";
import { removeStatement } from "../../model/text-changes.ts";
import type { Rule, RuleContext } from "../engine/definition.ts";
import { type Detected, found, type Judgement } from "../engine/judgement.ts";

export const rule: Rule<"findings"> = { needs: ["findings"], judge };

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

/** The finding about an acceptance that covers nothing in `where`. */
export function tellUnused(acceptance: Acceptance, where: string): Detected {
  return {
    origin: acceptance.ruleOrigin,
    what: `\`${acceptance.rule}\` finds nothing in ${where}; the acceptance is not needed.`,
    label: "not needed",
    next: "Remove the acceptance.",
    repairs: removeStatement(acceptance.origin, "the acceptance"),
  };
}

/** The finding about an answer for a drug that nothing in `where` is about. */
export function tellUnneededAnswer(
  { agent, agentOrigin, origin }: DeclaredRules["answers"][number],
  where: string,
): Detected {
  return {
    origin: agentOrigin,
    what: `No drug of ${where} is called \`${agent}\`; the answer is not needed.`,
    label: "not needed",
    next: "Check the spelling, or remove the answer.",
    repairs: removeStatement(origin, "the answer"),
  };
}
