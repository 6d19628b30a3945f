import { testRandomQuestions } from "./population-suite.ts";

testRandomQuestions(500, 20_261);
