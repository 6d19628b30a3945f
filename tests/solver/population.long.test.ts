import { testRandomCells } from "./population-cells-suite.ts";
import { testRandomQuestions } from "./population-questions-suite.ts";

testRandomCells(1_000, 80_000_000);
testRandomQuestions(5_000, 70_000_000);
