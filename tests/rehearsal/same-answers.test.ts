import { sameAnswersSuite } from "./same-answers-suite.ts";

sameAnswersSuite(["wrist-reduction", "hand-laceration", "finger-suture"], 25);
