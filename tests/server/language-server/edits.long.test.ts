import { expect, test } from "vitest";
import { sequencesThatDiffer } from "./edits-suite.ts";

test("after thousands of random edits the findings are those of the final text opened anew", async () => {
  expect(await sequencesThatDiffer(800, 20261125)).toEqual([]);
});
