import { expect, test } from "vitest";
import { faultsAtAnyPlace } from "./any-place-suite.ts";
import { brokenProtocol, cutShort, randomBytes, tokenSoup } from "./random-texts.ts";

test.each([
  ["random bytes", 15, randomBytes],
  ["words and marks in any order", 30, tokenSoup],
  ["protocols with slips", 40, brokenProtocol],
  ["protocols that end in the middle", 20, cutShort],
])("what an editor asks at any place has an answer: %s", (_name, count, textOf) => {
  expect(faultsAtAnyPlace(count, 1, textOf)).toEqual([]);
});
