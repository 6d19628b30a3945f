import { testRandomCells } from "./population-cells-suite.ts";
import { testRandomQuestions } from "./population-questions-suite.ts";

testRandomCells(50, 31_337);
testRandomQuestions(250, 20_261);
