import { afterAll, beforeAll, expect, test } from "vitest";
import { askRandomQuestions } from "./population-questions.ts";
import { numberFromEnvironment } from "./random.ts";
import { type Solver, startSolver } from "./smt.ts";

/**
 * The body of the fast and of the long test. A failure names the seed of its question; that one alone runs
 * again with `POPULATION_SEED=… POPULATION_QUESTIONS=1`.
 */
export function testRandomQuestions(usualCount: number, usualSeed: number): void {
  let solver: Solver;
  beforeAll(async () => {
    solver = await startSolver();
  });
  afterAll(() => solver.stop());

  test("random questions about doses and pressures get the solver's answer", { timeout: 900_000 }, () => {
    const count = numberFromEnvironment("POPULATION_QUESTIONS", usualCount);
    const seed = numberFromEnvironment("POPULATION_SEED", usualSeed);
    const tally = askRandomQuestions(solver, count, seed);
    console.info(`${count} questions from seed ${seed}: ${JSON.stringify(tally)}`);
    expect(tally.holds + tally.broken + tally.nobodyHasBoth + tally.overBudget).toBe(count);
    expect(tally.overBudget).toBeLessThanOrEqual(count * 0.01);
  });
}
