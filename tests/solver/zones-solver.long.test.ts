import { testAgainstSolver } from "./zones-solver-suite.ts";

testAgainstSolver(1_500, 50_000_000, [2, 3]);
