import { expect, test } from "vitest";
import { KEYWORDS } from "../../language/grammar/generated/keywords.ts";
import { answerTo, errorsOfReading } from "./answer.ts";
import { randomProtocol, untidyProtocol } from "./random-protocol.ts";

const SEEDS = Array.from({ length: 40 }, (_, index) => index + 1);

test("random protocols use every word of the language", () => {
  const used = new Set(
    Array.from({ length: 200 }, (_, seed) => randomProtocol(seed))
      .join("\n")
      .replace(/"(?:\\.|[^"\\])*"/g, "")
      .match(/[a-z][a-z-]*/g),
  );
  expect([...KEYWORDS].filter((word) => !used.has(word))).toEqual(["use"]);
});

test.each(SEEDS)("the random protocol of seed %i is read without an error, tidy or not", (seed) => {
  for (const text of [randomProtocol(seed), untidyProtocol(seed)]) {
    const errors = errorsOfReading(answerTo(text));
    expect(errors.map(({ origin, what }) => `${origin.start.line}: ${what}`)).toEqual([]);
  }
});

test("the same seed gives the same protocol", () => {
  expect(SEEDS.map(randomProtocol)).toEqual(SEEDS.map(randomProtocol));
  expect(new Set(SEEDS.map(randomProtocol)).size).toBe(SEEDS.length);
});
