import { describe, expect, test } from "vitest";
import { seeds } from "../questions.ts";
import { answerEach, answerTo } from "./answer.ts";
import { hostileTexts } from "./hostile-texts.ts";
import { brokenProtocol, cutShort, randomBytes, tokenSoup } from "./random-texts.ts";

describe("any text gets an answer", () => {
  test.each([
    ["random bytes", 300, randomBytes],
    ["words and marks in any order", 600, tokenSoup],
    ["protocols with slips", 500, brokenProtocol],
    ["protocols that end in the middle", 300, cutShort],
  ])("%s", (_name, count, textOf) => {
    expect(() => answerEach(seeds(count), textOf)).not.toThrow();
  });
});

describe("a megabyte of anything gets an answer", () => {
  test.each([...hostileTexts()])("%s", (_name, textOf) => {
    expect(() => answerTo(textOf())).not.toThrow();
  });
});
