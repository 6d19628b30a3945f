import { sameAnswersSuite } from "./same-answers-suite.ts";

sameAnswersSuite(
  [
    ...["wrist-reduction", "hand-laceration", "finger-suture", "foot-surgery"],
    ...["ankle-reduction", "injured-arm", "prilocaine-wrist"],
  ],
  60,
);
