import { aYearAfter, type Origin, type Repair } from "@limbwright/shared/finding";
import { needsALook } from "../../model/text-changes.ts";
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
    repairs: reviewedAgain(reviewBy.origin, on),
  });
}

/** Only whoever has reviewed it may write the next date: the title says so. */
function reviewedAgain(origin: Origin, on: string): Repair[] {
  const text = `review by ${aYearAfter(on)}`;
  return needsALook(`After it was reviewed, write ${text}`, { origin, text });
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
