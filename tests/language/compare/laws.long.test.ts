import { testLaws } from "./laws-suite.ts";

testLaws(80);
