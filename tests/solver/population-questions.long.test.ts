import { afterAll, beforeAll, expect, test } from "vitest";
import { mostOf, seeds } from "../questions.ts";
import { askRandomQuestions } from "./population-questions.ts";
import { type Solver, startSolver } from "./smt.ts";

let solver: Solver;
beforeAll(async () => {
  solver = await startSolver();
});
afterAll(() => solver.stop());

test("random questions about doses and pressures get the solver's answer", () => {
  const questions = seeds(2_500);
  const tally = askRandomQuestions(solver, questions);
  console.info(`${questions.length} questions: ${JSON.stringify(tally)}`);
  expect(tally.holds + tally.broken + tally.nobodyHasBoth + tally.overBudget).toBe(questions.length);
  expect(tally.overBudget).toBeLessThanOrEqual(mostOf(questions.length, 0.001));
  expect(tally.tooFine).toBeLessThanOrEqual(mostOf(questions.length, 0.001));
});
