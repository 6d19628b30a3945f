import { afterAll, beforeAll, expect, test } from "vitest";
import { explore } from "../../language/runs/zones/explore.ts";
import { systemOf } from "../../language/runs/zones/finite-system.ts";
import { seeds } from "../questions.ts";
import { hornClauses } from "./horn-clauses.ts";
import { countOf, shapesOf } from "./random-automaton.ts";
import { type Solver, startSolver } from "./smt.ts";

/** An automaton takes the solver more work than a question about patients. */
const SOLVER_STEPS = 100_000_000;

let solver: Solver;
beforeAll(async () => {
  solver = await startSolver(SOLVER_STEPS);
});
afterAll(() => solver.stop());

test("random automata enter their target when the solver says so", () => {
  const automata = seeds(1_500);
  const entered = countOf(automata, shapesOf(2, 3), (automaton, where) => {
    const target = automaton.locations.length - 1;
    const found = explore(systemOf(automaton), { extrapolation: "lower-upper" }).states.has(target);
    expect(solver.ask(hornClauses(automaton, target)), where).toBe(found ? "unsat" : "sat");
    return found;
  });
  console.info(`${automata.length} automata, ${entered} enter their target`);
  expect(entered).toBeGreaterThan(automata.length * 0.2);
  expect(entered).toBeLessThan(automata.length * 0.9);
});
