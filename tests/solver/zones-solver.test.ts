import { testAgainstSolver } from "./zones-solver-suite.ts";

testAgainstSolver(200, 40_000, [2]);
