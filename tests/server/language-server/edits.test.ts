import { expect, test } from "vitest";
import { sequencesThatDiffer } from "./edits-suite.ts";

test("after random edits the findings are those of the final text opened anew", {
  timeout: 60_000,
}, async () => {
  expect(await sequencesThatDiffer(40, 4)).toEqual([]);
});
