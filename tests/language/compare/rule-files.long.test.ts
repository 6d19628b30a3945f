import { testEdits } from "./rule-files-suite.ts";

testEdits({ edits: 1, mutants: 5 });
