import { type Endpoint, type Interval, type Rational, ratio, rational } from "@limbwright/shared/quantity";
import type { Band, Box, Expression, Measure, Relation, Variable } from "../../language/population/index.ts";
import type { Random } from "./random.ts";

/** A question about the whole population. */
export interface Question {
  readonly left: Expression;
  readonly relation: Relation;
  readonly right: Expression;
  readonly box: Box;
  readonly measure: Measure;
}

/**
 * Few distinct numbers, so that crossings, caps and band edges often fall on one another and on the edges
 * of the box: that is where open and closed matter.
 */
const EDGES: Readonly<Record<Variable, readonly Rational[]>> = {
  weight: ["20", "40", "45", "49", "50", "60", "66", "70", "75", "100", "130"].map(rational),
  age: ["1/2", "1", "5", "12", "16", "40", "65", "85"].map(rational),
  systolic: ["80", "90", "100", "120", "150", "180", "200"].map(rational),
  circumference: ["20", "25", "30", "40", "55"].map(rational),
};

const FACTORS: readonly Rational[] = [
  "1",
  "2",
  "3",
  "4",
  "7",
  "3/2",
  "5/2",
  "29/10",
  "-1",
  "1/3",
  "1",
  "2",
].map((text) => rational(text));
const AMOUNTS: readonly Rational[] = ["0", "100", "150", "180", "200", "240", "250", "300", "400", "500"].map(
  (text) => rational(text),
);
const STEPS: readonly Rational[] = ["5", "10", "25", "50", "7", "5/2", "1/2"].map((text) => rational(text));
const RELATIONS: readonly Relation[] = ["at-most", "under", "at-least", "over", "equal"];

export function randomQuestion(random: Random): Question {
  const variables = randomVariables(random);
  return {
    left: randomExpression(random, variables, 3),
    relation: random.pick(RELATIONS),
    right: randomExpression(random, variables, random.below(3)),
    box: randomBox(random, variables),
    measure: random.oneIn(3) ? "per-weight" : "absolute",
  };
}

/** Of one variable or two, now and then of three. */
function randomVariables(random: Random): Variable[] {
  const others: Variable[] = random
    .pick([["age"], ["systolic"], ["circumference"], ["age", "systolic"]] as const)
    .slice();
  if (random.oneIn(3)) return ["weight"];
  return ["weight", ...(random.oneIn(3) ? others : others.slice(0, 1))];
}

function randomBox(random: Random, variables: readonly Variable[]): Box {
  const box: Partial<Record<Variable, Interval>> = {};
  for (const variable of variables) box[variable] = randomRange(random, variable);
  return box;
}

/** An expression of the variables, `depth` operations deep at most. */
function randomExpression(random: Random, variables: readonly Variable[], depth: number): Expression {
  if (depth === 0) return leaf(random, variables);
  const deeper = (): Expression => randomExpression(random, variables, depth - 1);
  const shallow = (): Expression => randomExpression(random, variables, 0);
  switch (random.below(8)) {
    case 0:
      return { kind: "sum", left: deeper(), right: shallow() };
    case 1:
      return { kind: "difference", left: deeper(), right: shallow() };
    case 2:
      return { kind: "lesser", left: deeper(), right: deeper() };
    case 3:
      return { kind: "greater", left: deeper(), right: deeper() };
    case 4:
      return { kind: "scaled", factor: random.pick(FACTORS), of: deeper() };
    case 5:
      return { kind: "rounded-down", step: random.pick(STEPS), of: deeper() };
    case 6:
      return { kind: "bands", ...randomBands(random, random.pick(variables), deeper) };
    default:
      return { kind: "lesser", left: deeper(), right: { kind: "constant", value: random.pick(AMOUNTS) } };
  }
}

function leaf(random: Random, variables: readonly Variable[]): Expression {
  if (random.oneIn(3)) return { kind: "constant", value: random.pick(AMOUNTS) };
  const of: Expression = { kind: "variable", variable: random.pick(variables) };
  return random.oneIn(4) ? of : { kind: "scaled", factor: random.pick(FACTORS), of };
}

/** Mostly tidy neighbours, now and then with a gap, an open point or an overlap between them. */
function randomBands(
  random: Random,
  variable: Variable,
  value: () => Expression,
): { readonly variable: Variable; readonly rows: Band[] } {
  const edges = EDGES[variable];
  const rows: Band[] = [];
  let from: Endpoint | undefined = random.oneIn(2)
    ? undefined
    : { value: edges[0] ?? ratio(1, 1), closed: true };
  let at = 1 + random.below(3);
  for (; at < edges.length && rows.length < 3; at += 1 + random.below(3)) {
    const upper: Endpoint = { value: edges[at] ?? ratio(1, 1), closed: random.oneIn(2) };
    rows.push({ range: { ...(from && { lower: from }), upper }, value: value() });
    const start = random.oneIn(5)
      ? (edges[Math.max(0, at + random.below(3) - 1)] ?? upper.value)
      : upper.value;
    from = { value: start, closed: random.oneIn(5) ? random.oneIn(2) : !upper.closed };
  }
  if (!random.oneIn(6)) rows.push({ range: from ? { lower: from } : {}, value: value() });
  return { variable, rows };
}

function randomRange(random: Random, variable: Variable): Interval {
  const edges = EDGES[variable];
  const first = random.below(edges.length);
  const second = random.below(edges.length);
  const [low, high] = [edges[Math.min(first, second)], edges[Math.max(first, second)]];
  if (!low || !high) throw new Error("a variable has no edges");
  if (first === second) return { lower: { value: low, closed: true }, upper: { value: high, closed: true } };
  return {
    lower: { value: low, closed: !random.oneIn(4) },
    upper: { value: high, closed: !random.oneIn(4) },
  };
}
