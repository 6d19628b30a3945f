import {
  contains,
  type Interval,
  intersect,
  isEmpty,
  type Rational,
  ratio,
  rational,
} from "@limbwright/shared/quantity";
import { type AmountNode, type Maximum, partsOfAmount } from "../../model/index.ts";
import { subtractRange } from "../../population/bands.ts";
import type { Box, Patient, Variable } from "../../population/index.ts";
import { byLowerEdge } from "../../population/interval-order.ts";

/** More rows than anybody reads; a box that needs more has no table. */
const MOST_ROWS = 20_000;

/** One patient of a row, and the range of ages, circumferences or pressures for which the row is the same. */
export interface RowPatient {
  readonly patient: Patient;
  readonly ranges: Partial<Record<Variable, Interval>>;
  /** Where the row is for all between two others: the patient is the one at the first of them. */
  readonly between?: BetweenRows;
}

/** A row for all patients between two others: in the formula's own words, less (or more) than both of its neighbours. */
export interface BetweenRows {
  readonly range: Interval;
  readonly variable: Variable;
  /** Which of the values between stands for all of them. */
  readonly takes: "least" | "greatest";
}

/**
 * The patients of a table's rows. One variable goes in steps (weight by 1 kg), and by the edges of bands that
 * lie between; each other variable in the ranges between which something changes. Undefined where the box
 * has no limits in the stepped variable, or needs too many rows.
 */
export function rowPatients(
  box: Box,
  stepped: { readonly variable: Variable; readonly step: number } | undefined,
  changes: Readonly<Partial<Record<Variable, readonly Interval[]>>>,
): RowPatient[] | undefined {
  let rows: RowPatient[] = [{ patient: {}, ranges: {} }];
  for (const variable of ["age", "systolic", "circumference", "weight"] as const) {
    const bands = changes[variable];
    if (variable === stepped?.variable) {
      const values = stepThroughRange(box[variable], stepped.step, bands ?? []);
      if (!values) return undefined;
      rows = rows.flatMap((row) =>
        values.map((value) => ({ ...row, patient: { ...row.patient, [variable]: value } })),
      );
    } else if (bands) {
      const parts = partsOf(box[variable] ?? {}, bands);
      rows = rows.flatMap((row) => parts.map((range) => withRange(row, variable, range)));
    }
    if (rows.length > MOST_ROWS) return undefined;
  }
  return rows;
}

function withRange(row: RowPatient, variable: Variable, range: Interval): RowPatient {
  return {
    patient: { ...row.patient, [variable]: valueWithin(range) },
    ranges: { ...row.ranges, [variable]: range },
  };
}

/** Every multiple of the step in the range, its own ends, and the edges of bands inside it. */
function stepThroughRange(
  range: Interval | undefined,
  step: number,
  bands: readonly Interval[],
): Rational[] | undefined {
  if (!range?.lower || !range.upper) return undefined;
  const [from, to] = [range.lower.value, range.upper.value];
  if (to.sub(from).div(step).compare(MOST_ROWS) > 0) return undefined;
  const values: Rational[] = [from, to];
  for (let value = from.div(step).ceil().mul(step); value.compare(to) <= 0; value = value.add(step)) {
    values.push(value);
  }
  for (const { lower, upper } of bands) values.push(...[lower, upper].flatMap((edge) => edge?.value ?? []));
  const inside = values.filter((value) => contains(range, value)).sort((a, b) => a.compare(b));
  return inside.filter((value, index) => index === 0 || !value.equals(inside[index - 1] ?? value.add(1)));
}

/** The range cut at every edge of the bands. */
function partsOf(range: Interval, bands: readonly Interval[]): Interval[] {
  let parts: Interval[] = isEmpty(range) ? [] : [range];
  for (const band of bands) {
    parts = parts
      .flatMap((part) => [intersect(part, band), ...subtractRange(part, band)])
      .filter((part) => !isEmpty(part));
  }
  return parts.sort(byLowerEdge);
}

/** Some value of a range that is not empty. */
function valueWithin({ lower, upper }: Interval): Rational {
  if (lower?.closed) return lower.value;
  if (upper?.closed) return upper.value;
  if (lower && upper) return lower.value.add(upper.value).mul(ratio(1, 2));
  if (lower) return lower.value.add(1);
  return upper ? upper.value.sub(1) : rational(0);
}

/** The bands of an amount by each of the variables that it looks at. */
export function bandsIn(
  nodes: readonly AmountNode[],
  maxima: readonly Maximum[] = [],
): Partial<Record<Variable, Interval[]>> {
  const found: Partial<Record<Variable, Interval[]>> = {};
  const add = (variable: Variable, range: Interval) => {
    found[variable] = [...(found[variable] ?? []), range];
  };
  for (const node of nodes.flatMap(allNodes)) {
    if (node.kind === "bands") for (const { range } of node.rows) add(node.variable, range.interval);
  }
  for (const { ages } of maxima) if (ages) add("age", ages);
  return found;
}

function allNodes(node: AmountNode): AmountNode[] {
  return [node, ...partsOfAmount(node).flatMap(allNodes)];
}
