import { opposite } from "../zones/opposite.ts";
import type { Constraint } from "../zones/timed-system.ts";

/** Conditions any one of which is enough; each is a list of conditions that all have to be so. */
export type AnyOf = readonly (readonly Constraint[])[];

/** True at every moment. */
export const always: AnyOf = [[]];

/** When not all of the conditions are so. */
export function negations(guard: readonly Constraint[]): AnyOf {
  return guard.map((one) => [opposite(one)]);
}

/** When one of the first and one of the second is so; what contradicts itself is left out. */
export function conjoined(first: AnyOf, second: AnyOf): AnyOf {
  return first.flatMap((one) => second.map((other) => [...one, ...other])).filter(isPossible);
}

/** Whether some value of each clock meets all that is asked of it. */
function isPossible(guard: readonly Constraint[]): boolean {
  return guard.every((one) => guard.every((other) => one.clock !== other.clock || isMet(one, other)));
}

function isMet(lower: Constraint, upper: Constraint): boolean {
  if (lower.kind !== "at-least" && lower.kind !== "over") return true;
  if (upper.kind !== "at-most" && upper.kind !== "under") return upper.limit >= 0;
  const isStrict = lower.kind === "over" || upper.kind === "under";
  return isStrict ? lower.limit < upper.limit : lower.limit <= upper.limit;
}

/** What a condition on a clock says of a clock that shows nought. */
export function isSoAtZero({ kind, limit }: Constraint): boolean {
  switch (kind) {
    case "at-most":
      return limit >= 0;
    case "under":
      return limit > 0;
    case "at-least":
      return limit <= 0;
    case "over":
      return limit < 0;
  }
}
