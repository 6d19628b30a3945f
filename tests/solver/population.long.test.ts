import { testRandomCells } from "./population-cells-suite.ts";
import { testRandomQuestions } from "./population-questions-suite.ts";

testRandomCells(500, 80_000_000);
testRandomQuestions(2_500, 70_000_000);
