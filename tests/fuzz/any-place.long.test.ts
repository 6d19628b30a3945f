import { expect, test } from "vitest";
import { faultsAtAnyPlace } from "./any-place-suite.ts";
import { brokenProtocol, cutShort, randomBytes, tokenSoup } from "./random-texts.ts";

test.each([
  ["random bytes", 80, randomBytes],
  ["words and marks in any order", 150, tokenSoup],
  ["protocols with slips", 200, brokenProtocol],
  ["protocols that end in the middle", 100, cutShort],
])("what an editor asks at any place of hundreds of texts has an answer: %s", (_name, count, textOf) => {
  expect(faultsAtAnyPlace(count, 10_000, textOf)).toEqual([]);
});
