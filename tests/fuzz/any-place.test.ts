import { expect, test } from "vitest";
import { faultsAtAnyPlace } from "./any-place-suite.ts";
import { brokenProtocol, cutShort, randomBytes, tokenSoup } from "./random-texts.ts";

test.each([
  ["random bytes", 8, randomBytes],
  ["words and marks in any order", 15, tokenSoup],
  ["protocols with slips", 20, brokenProtocol],
  ["protocols that end in the middle", 10, cutShort],
])("what an editor asks at any place has an answer: %s", (_name, count, textOf) => {
  expect(faultsAtAnyPlace(count, 1, textOf)).toEqual([]);
});
