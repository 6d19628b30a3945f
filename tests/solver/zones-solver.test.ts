import { testAgainstSolver } from "./zones-solver-suite.ts";

testAgainstSolver(100, 40_000, [2]);
