import {
  contains,
  floorTo,
  type Interval,
  type Rational,
  ratio,
  rational,
  ZERO,
} from "@limbwright/shared/quantity";
import { type Cell, cutToRange, rangeOf } from "./cell.ts";
import type { Patient, Variable } from "./expression.ts";

/** The steps people count in, the roundest first. */
const STEPS: readonly Rational[] = [rational(10), rational(5), rational(1), ratio(1, 2)];

/**
 * The roundest number of an interval: a multiple of 10, else 5, 1, 0.5, 0.1, 0.01 …; of several the one
 * nearest to `near`, which is taken as the interval's start when left out. The interval may not be empty.
 */
export function roundNumber(interval: Interval, near?: Rational): Rational {
  const { lower, upper } = interval;
  if (lower && upper && lower.value.equals(upper.value)) return lower.value;
  const goal = clamp(interval, near ?? lower?.value ?? upper?.value ?? ZERO);
  for (const step of steps()) {
    const found = nearestMultiple(interval, goal, step);
    if (found) return found;
  }
  throw new Error("an interval without numbers was asked for a round one");
}

/** A patient of the cell in round numbers, variable by variable, as near to `near` as that allows. */
export function roundPatient(cell: Cell, variables: readonly Variable[], near: Patient = {}): Patient {
  const patient: Partial<Record<Variable, Rational>> = {};
  let rest = cell;
  for (const variable of variables) {
    const value = roundNumber(rangeOf(rest, variable), near[variable]);
    const edge = { value, closed: true };
    const fixed = cutToRange(rest, variable, { lower: edge, upper: edge });
    if (!fixed) throw new Error(`the cell lost its patients at ${variable}`);
    patient[variable] = value;
    rest = fixed;
  }
  return patient;
}

/** Ends, because in an interval that is more than a point some power of ten has a multiple. */
function* steps(): Generator<Rational> {
  yield* STEPS;
  for (let step = ratio(1, 10); ; step = step.div(10)) yield step;
}

function nearestMultiple(interval: Interval, goal: Rational, step: Rational): Rational | undefined {
  const below = floorTo(goal, step);
  return [below.sub(step), below, below.add(step), below.add(step).add(step)]
    .filter((multiple) => contains(interval, multiple))
    .sort((a, b) => a.sub(goal).abs().compare(b.sub(goal).abs()))[0];
}

function clamp({ lower, upper }: Interval, goal: Rational): Rational {
  if (lower && goal.compare(lower.value) < 0) return lower.value;
  if (upper && goal.compare(upper.value) > 0) return upper.value;
  return goal;
}
