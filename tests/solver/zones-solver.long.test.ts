import { testAgainstSolver } from "./zones-solver-suite.ts";

testAgainstSolver(3_000, 50_000_000, [2, 3]);
