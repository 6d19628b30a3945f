import { testMutants } from "./mutants-suite.ts";
import { WRIST } from "./two-versions.ts";

testMutants([WRIST], 12);
