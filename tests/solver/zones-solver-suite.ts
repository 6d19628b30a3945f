import { afterAll, beforeAll, expect, test } from "vitest";
import { explore } from "../../language/runs/zones/explore.ts";
import { systemOf } from "../../language/runs/zones/finite-system.ts";
import { hornClauses } from "./horn-clauses.ts";
import { numberFromEnvironment } from "./random.ts";
import { countOf, shapesOf } from "./random-automaton.ts";
import { type Solver, startSolver } from "./smt.ts";

/** An automaton takes the solver more work than a question about patients. */
const SOLVER_STEPS = 100_000_000;

/** The body of the fast and of the long test. A failure names the seed; `ZONES_SEED=…` starts there. */
export function testAgainstSolver(count: number, usualSeed: number, clockCounts: readonly number[]): void {
  let solver: Solver;
  beforeAll(async () => {
    solver = await startSolver(SOLVER_STEPS);
  });
  afterAll(() => solver.stop());

  test("random automata enter their target when the solver says so", { timeout: 900_000 }, () => {
    const first = numberFromEnvironment("ZONES_SEED", usualSeed);
    const entered = countOf(first, count, shapesOf(...clockCounts), (automaton, where) => {
      const target = automaton.locations.length - 1;
      const found = explore(systemOf(automaton), { extrapolation: "lower-upper" }).states.has(target);
      expect(solver.ask(hornClauses(automaton, target)), where).toBe(found ? "unsat" : "sat");
      return found;
    });
    console.info(`${count} automata from seed ${first}, ${entered} enter their target`);
    expect(entered).toBeGreaterThan(count * 0.2);
    expect(entered).toBeLessThan(count * 0.8);
  });
}
