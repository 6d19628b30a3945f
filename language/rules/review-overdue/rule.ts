import { aYearAfter, monthsAfter, type Origin, type Repair } from "@limbwright/shared/finding";
import type { Written } from "../../model/index.ts";
import { needsALook } from "../../model/text-changes.ts";
import type { Rule, RuleContext } from "../engine/definition.ts";
import { found, HOLDS, type Judgement, undecided } from "../engine/judgement.ts";

export const rule: Rule = { judge };

function judge({ protocol, on, parameter }: RuleContext): Judgement {
  const { reviewBy, status } = protocol;
  if (status?.value.kind === "retired") return HOLDS;
  if (!reviewBy) return withoutDate(protocol);
  const from = status?.value.kind === "approved" && status.value.on < on ? status.value.on : on;
  const last = monthsAfter(from, 12 * Math.floor(parameter("years").value.valueOf()));
  if (reviewBy.value > last) return tooFarAhead(reviewBy, last);
  if (reviewBy.value >= on) return HOLDS;
  return found({
    origin: reviewBy.origin,
    what: `\`${protocol.name}\` was to be reviewed by ${reviewBy.value}; it is ${on}.`,
    label: "overdue",
    next: "Review it and write the next date, or set `status retired`.",
    repairs: reviewedAgain(reviewBy.origin, on),
  });
}

function tooFarAhead({ value, origin }: Written<string>, last: string): Judgement {
  return found({
    origin,
    what: `The review by ${value} is too far ahead: ${last} is the latest.`,
    label: "too far ahead",
    next: `Write a date no later than ${last}.`,
    repairs: needsALook(`Write review by ${last}`, { origin, text: `review by ${last}` }),
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
