import { isAtLeast } from "@limbwright/shared/finding";
import { needsALook } from "../../model/text-changes.ts";
import type { Rule, RuleContext } from "../engine/definition.ts";
import { found, HOLDS, type Judgement } from "../engine/judgement.ts";

export const rule: Rule<"findings"> = { needs: ["findings"], judge };

function judge({ protocol, earlier }: RuleContext<"findings">): Judgement {
  const { status } = protocol;
  if (status?.value.kind !== "approved") return HOLDS;
  const open = earlier.filter(({ severity, accepted }) => !accepted && isAtLeast(severity, "doubtful"));
  if (open.length === 0) return HOLDS;
  const rules = [...new Set(open.map((one) => one.rule))].sort();
  const count = open.length === 1 ? "one finding stands" : `${open.length} findings stand`;
  return found({
    origin: status.origin,
    what: `\`${protocol.name}\` is approved, and ${count} that nobody accepted: ${rules.join(", ")}.`,
    label: "approved with findings",
    next: "Mend them, accept each in the local rules with a reason, a role and an end, or set `status in-review`.",
    repairs: needsALook("Set status in-review", { origin: status.origin, text: "status in-review" }),
  });
}
