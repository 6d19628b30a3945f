import { type Interval, type Rational, ratio, rational } from "@limbwright/shared/quantity";
import { afterAll, beforeAll, expect, test } from "vitest";
import {
  type Cell,
  type Constraint,
  constrain,
  constraintsOf,
  rangeIn,
  rangeOf,
  simplify,
} from "../../language/population/cell.ts";
import { VARIABLES, type Variable } from "../../language/population/index.ts";
import { type Linear, slopesOf } from "../../language/population/linear.ts";
import { again, seeds } from "../questions.ts";
import { type Random, randomFrom } from "./random.ts";
import { type Solver, smtAnd, smtNumber, smtOr, startSolver } from "./smt.ts";

const FAR = rational(1_000_000);
const HAIR = ratio(1, 1_000_000);

let solver: Solver;
beforeAll(async () => {
  solver = await startSolver();
});
afterAll(() => solver.stop());

test("random cells are empty, and reach as far, as the solver says", () => {
  const cells = seeds(500);
  const inhabited = cells.filter((seed) => checkCell(solver, randomFrom(seed), again(seed)));
  console.info(`${cells.length} cells, ${inhabited.length} with patients`);
  expect(inhabited.length).toBeGreaterThan(cells.length * 0.05);
});

/** Whether the cell had patients. */
function checkCell(solver: Solver, random: Random, where: string): boolean {
  const variables = VARIABLES.slice(0, 2 + random.below(3));
  const constraints = randomConstraints(random, variables);
  const cell = cut(constraints);
  expect(solver.ask(script(constraints, [])), where).toBe(cell ? "sat" : "unsat");
  if (!cell) return false;
  const form = randomForm(random, variables);
  for (const variable of variables) {
    checkRange({ solver, constraints, value: variable, where }, rangeOf(cell, variable));
  }
  checkRange({ solver, constraints, value: smtForm(form), where }, rangeIn(cell, form));
  checkSimplified(solver, constraints, simplify(cell), where);
  return true;
}

function cut(constraints: readonly Constraint[]): Cell | undefined {
  return constraints.reduce<Cell | undefined>((cell, constraint) => cell && constrain(cell, constraint), {
    box: {},
    slanted: [],
  });
}

/** Some value over the points that satisfy the constraints. */
interface Reach {
  readonly solver: Solver;
  readonly constraints: readonly Constraint[];
  readonly value: string;
  readonly where: string;
}

/** Nothing lies outside the range, and its edges are reached as they say. */
function checkRange({ solver, constraints, value, where }: Reach, { lower, upper }: Interval): void {
  const beyond: string[] = [];
  for (const [edge, sign, inwards] of [
    [lower, "<", 1],
    [upper, ">", -1],
  ] as const) {
    if (edge) beyond.push(`(${edge.closed ? sign : `${sign}=`} ${value} ${smtNumber(edge.value)})`);
    const reached = edge?.closed
      ? `(= ${value} ${smtNumber(edge.value)})`
      : `(${sign} ${value} ${smtNumber((edge ? edge.value : FAR.neg().mul(inwards)).add(HAIR.mul(inwards)))})`;
    const reaches = solver.ask(script(constraints, [reached]));
    expect(reaches, `${where}: ${value} comes to its limit`).toBe("sat");
  }
  const goesBeyond = solver.ask(script(constraints, [smtOr(beyond)]));
  expect(goesBeyond, `${where}: ${value} goes beyond its limit`).toBe("unsat");
}

/** The same patients, and no constraint across variables that the others imply. */
function checkSimplified(
  solver: Solver,
  constraints: readonly Constraint[],
  cell: Cell,
  where: string,
): void {
  const before = smtAnd(constraints.map(smtConstraint));
  const after = smtAnd(constraintsOf(cell).map(smtConstraint));
  const different = solver.ask(script([], [`(xor ${before} ${after})`]));
  expect(different, `${where}: the same patients`).toBe("unsat");
  for (const constraint of cell.slanted) {
    const others = constraintsOf(cell).filter((other) => other !== constraint);
    const needed = solver.ask(script(others, [`(not ${smtConstraint(constraint)})`]));
    expect(needed, `${where}: every constraint is needed`).toBe("sat");
  }
}

function script(constraints: readonly Constraint[], others: readonly string[]): string {
  return [
    ...VARIABLES.map((variable) => `(declare-const ${variable} Real)`),
    ...[...constraints.map(smtConstraint), ...others].map((assertion) => `(assert ${assertion})`),
    "(check-sat)",
  ].join("\n");
}

function smtConstraint({ form, strict }: Constraint): string {
  return `(${strict ? ">" : ">="} ${smtForm(form)} 0.0)`;
}

function smtForm(form: Linear): string {
  const terms = slopesOf(form).map(([variable, slope]) => `(* ${smtNumber(slope)} ${variable})`);
  return `(+ ${[smtNumber(form.constant), "0.0", ...terms].join(" ")})`;
}

/** Edges of a box first, then constraints across variables; small numbers, so that they often coincide. */
function randomConstraints(random: Random, variables: readonly Variable[]): Constraint[] {
  const sides = variables.flatMap((variable): Constraint[] => {
    const one = rational(1);
    const lower: Linear = { constant: rational(0), slopes: { [variable]: one } };
    const upper: Linear = { constant: rational(1 + random.below(4)), slopes: { [variable]: one.neg() } };
    return [lower, upper].filter(() => !random.oneIn(6)).map((form) => ({ form, strict: random.oneIn(2) }));
  });
  const across = Array.from({ length: 1 + random.below(5) }, () => ({
    form: randomForm(random, variables),
    strict: random.oneIn(2),
  }));
  return [...sides, ...across];
}

function randomForm(random: Random, variables: readonly Variable[]): Linear {
  const slopes: Partial<Record<Variable, Rational>> = {};
  for (const variable of variables) {
    const slope = random.below(5) - 2;
    if (slope !== 0) slopes[variable] = ratio(slope, 1 + random.below(2));
  }
  return { constant: ratio(random.below(9) - 4, 1 + random.below(2)), slopes };
}
