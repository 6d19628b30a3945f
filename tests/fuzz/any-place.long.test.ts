import { expect, test } from "vitest";
import { faultsAtAnyPlace } from "./any-place-suite.ts";
import { brokenProtocol, cutShort, randomBytes, tokenSoup } from "./random-texts.ts";

test.each([
  ["random bytes", 250, randomBytes],
  ["words and marks in any order", 500, tokenSoup],
  ["protocols with slips", 700, brokenProtocol],
  ["protocols that end in the middle", 350, cutShort],
])("what an editor asks at any place of thousands of texts has an answer: %s", (_name, count, textOf) => {
  expect(faultsAtAnyPlace(count, 10_000, textOf)).toEqual([]);
});
