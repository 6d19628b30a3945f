import type { Rule, RuleContext } from "../engine/definition.ts";
import { found, HOLDS, type Judgement, undecided } from "../engine/judgement.ts";

export const rule: Rule = { judge };

function judge({ protocol, on }: RuleContext): Judgement {
  const { reviewBy, status } = protocol;
  if (status?.value.kind === "retired") return HOLDS;
  if (!reviewBy) return withoutDate(protocol);
  if (reviewBy.value >= on) return HOLDS;
  return found({
    origin: reviewBy.origin,
    what: `\`${protocol.name}\` was to be reviewed by ${reviewBy.value}; it is ${on}.`,
    label: "overdue",
    next: "Review it and write the next date, or set `status retired`.",
  });
}

function withoutDate({ name, nameOrigin, incomplete }: RuleContext["protocol"]): Judgement {
  if (incomplete) return undecided("a date of review may stand in text that was not understood", nameOrigin);
  return found({
    origin: nameOrigin,
    what: `\`${name}\` does not say when it is to be reviewed.`,
    label: "no date of review",
    next: "Add `review by` and a date, such as `review by 2027-06-30`.",
  });
}
