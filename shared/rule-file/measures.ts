import { type Interval, inBase, type Rational, rational, unitWithCode } from "../quantity/index.ts";

/** A number of a file with the UCUM code of its unit. */
export interface Measure {
  readonly value: string;
  readonly unit: string;
}

/** A range of a file; both ends are in one unit, and a missing end means without limit. */
export interface MeasuredRange {
  readonly unit: string;
  readonly lower?: { readonly value: string; readonly closed: boolean };
  readonly upper?: { readonly value: string; readonly closed: boolean };
}

/** Its exact value in base units (mg, mL, s, cm, mmHg, kg, years); undefined where no unit has that code. */
export function baseValue({ value, unit }: Measure): Rational | undefined {
  const of = unitWithCode(unit);
  return of && inBase({ value: rational(value), unit: of });
}

/** The range in base units; undefined where no unit has its code. */
export function baseInterval({ unit, lower, upper }: MeasuredRange): Interval | undefined {
  const of = unitWithCode(unit);
  if (!of) return undefined;
  const edge = ({ value, closed }: NonNullable<typeof lower>) => ({
    value: inBase({ value: rational(value), unit: of }),
    closed,
  });
  return { ...(lower && { lower: edge(lower) }), ...(upper && { upper: edge(upper) }) };
}
