import type { Origin } from "@limbwright/shared/finding";
import type { Interval, Quantity, Rational } from "@limbwright/shared/quantity";

/** A value with the place where it is written. */
export interface Written<T> {
  readonly value: T;
  readonly origin: Origin;
}

/** A number with its unit and the place where it stands. */
export interface WrittenQuantity extends Quantity {
  readonly origin: Origin;
}

/** A range in base units, with the place where it stands and the unit it was written in. */
export interface WrittenRange {
  readonly interval: Interval;
  /** The unit's symbol, for printing. */
  readonly unit: string;
  readonly origin: Origin;
}

/**
 * How long something takes, in whole seconds. `longest` undefined: without limit ("5 min or more").
 */
export interface Duration {
  readonly shortest: Rational;
  readonly longest?: Rational;
  readonly origin: Origin;
}
