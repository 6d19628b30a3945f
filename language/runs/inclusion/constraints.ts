import { type Constraint, opposite } from "../zones/timed-system.ts";

/** Conditions any one of which is enough; each is a list of conditions that all have to be so. */
export type AnyOf = readonly (readonly Constraint[])[];

/** True at every moment. */
export const always: AnyOf = [[]];

/** When not all of the conditions are so. */
export function negate(guard: readonly Constraint[]): AnyOf {
  return guard.map((one) => [opposite(one)]);
}

/** When one of the first and one of the second is so, without what contradicts itself and what another one covers. */
export function conjoin(first: AnyOf, second: AnyOf): AnyOf {
  const all = first
    .flatMap((one) => second.map((other) => keepTightest([...one, ...other])))
    .filter(isPossible);
  return all.filter((one, at) =>
    all.every(
      (other, place) => place === at || !isCoveredBy(one, other) || (place > at && isCoveredBy(other, one)),
    ),
  );
}

/** Of several bounds on one side of a clock only the tightest says anything. */
function keepTightest(guard: readonly Constraint[]): Constraint[] {
  return guard.filter((one, at) =>
    guard.every(
      (other, place) => place === at || !implies(other, one) || (place > at && implies(one, other)),
    ),
  );
}

/** Whether all that meets the one meets the other. */
function isCoveredBy(one: readonly Constraint[], other: readonly Constraint[]): boolean {
  return other.every((wider) => one.some((tighter) => implies(tighter, wider)));
}

/** Whether a clock that meets the one condition always meets the other. */
function implies(one: Constraint, other: Constraint): boolean {
  if (one.clock !== other.clock || isFromBelow(one) !== isFromBelow(other)) return false;
  if (one.limit === other.limit) return one.kind === other.kind || isStrict(one);
  return isFromBelow(one) ? one.limit > other.limit : one.limit < other.limit;
}

function isFromBelow({ kind }: Constraint): boolean {
  return kind === "at-least" || kind === "over";
}

function isStrict({ kind }: Constraint): boolean {
  return kind === "over" || kind === "under";
}

/** Whether some value of each clock, which is never under nought, meets all that is asked of it. */
function isPossible(guard: readonly Constraint[]): boolean {
  return guard.every((one) => {
    if (!isFromBelow(one)) return one.limit > 0 || (one.limit === 0 && !isStrict(one));
    const above = guard.filter((other) => other.clock === one.clock && !isFromBelow(other));
    return above.every(({ kind, limit }) =>
      isStrict(one) || kind === "under" ? one.limit < limit : one.limit <= limit,
    );
  });
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
