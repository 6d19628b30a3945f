import { testRandomCells } from "./population-cells-suite.ts";
import { testRandomQuestions } from "./population-questions-suite.ts";

testRandomCells(100, 31_337);
testRandomQuestions(500, 20_261);
