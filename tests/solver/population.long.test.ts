import { testRandomQuestions } from "./population-suite.ts";

testRandomQuestions(5_000, 70_000_000);
