import { contains, type Interval, isEmpty, type Rational, ratio } from "@limbwright/shared/quantity";
import {
  type Box,
  type Expression,
  type Patient,
  type Variable,
  variablesOf,
} from "../../language/population/index.ts";

/** Steps of the grid along each variable, by how many variables there are: some thousands of patients. */
const GRID_STEPS = [1, 24, 8, 2, 1];
const HAIR = ratio(1, 1_000_000);

/**
 * Patients on a grid over the box, at every edge of a band and of the box, a hair beside each of them, and
 * half-way between neighbours. Every variable needs both limits.
 */
export function interestingPatients(expressions: readonly Expression[], box: Box): Patient[] {
  let patients: Patient[] = [{}];
  const variables = variablesOf(...expressions);
  const steps = GRID_STEPS[variables.length] ?? 1;
  for (const variable of variables) {
    const values = interestingValues(variable, expressions, box[variable] ?? {}, steps);
    patients = patients.flatMap((patient) => values.map((value) => ({ ...patient, [variable]: value })));
  }
  return patients;
}

function interestingValues(
  variable: Variable,
  expressions: readonly Expression[],
  range: Interval,
  steps: number,
): Rational[] {
  const { lower, upper } = range;
  if (!lower || !upper || isEmpty(range)) throw new Error(`a grid needs both limits of ${variable}`);
  const width = upper.value.sub(lower.value).div(steps);
  const grid = Array.from({ length: steps + 1 }, (_, step) => lower.value.add(width.mul(step)));
  const edges = expressions.flatMap((expression) => bandEdges(expression, variable));
  const marks = [...grid, ...edges].sort((a, b) => a.compare(b));
  const between = marks.slice(1).map((mark, at) => mark.add(marks[at] ?? mark).div(2));
  const beside = marks.flatMap((mark) => [mark.sub(HAIR), mark, mark.add(HAIR)]);
  return distinct([...beside, ...between].filter((value) => contains(range, value)));
}

function bandEdges(expression: Expression, variable: Variable): Rational[] {
  switch (expression.kind) {
    case "constant":
    case "variable":
      return [];
    case "scaled":
    case "rounded-down":
      return bandEdges(expression.of, variable);
    case "bands":
      return expression.rows.flatMap(({ range, value }) => [
        ...(expression.variable === variable
          ? [range.lower, range.upper].flatMap((edge) => edge?.value ?? [])
          : []),
        ...bandEdges(value, variable),
      ]);
    default:
      return [...bandEdges(expression.left, variable), ...bandEdges(expression.right, variable)];
  }
}

function distinct(values: readonly Rational[]): Rational[] {
  return [...new Map(values.map((value) => [value.toFraction(), value])).values()];
}
