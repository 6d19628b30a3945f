import { expect, test } from "vitest";
import { KEYWORDS } from "../../language/grammar/generated/keywords.ts";
import { again, seeds } from "../questions.ts";
import { answerTo, errorsOfReading } from "./answer.ts";
import { randomProtocol, untidyProtocol } from "./random-protocol.ts";

const SEEDS = seeds(150);

test("random protocols use every word of the language", () => {
  const used = new Set(
    Array.from({ length: 200 }, (_, seed) => randomProtocol(seed))
      .join("\n")
      .replace(/"(?:\\.|[^"\\])*"/g, "")
      .match(/[a-z][a-z-]*/g),
  );
  expect([...KEYWORDS].filter((word) => !used.has(word))).toEqual(["use"]);
});

test("random protocols are read without an error, tidy or not", () => {
  for (const seed of SEEDS) {
    for (const text of [randomProtocol(seed), untidyProtocol(seed)]) {
      const errors = errorsOfReading(answerTo(text));
      expect(
        errors.map(({ origin, what }) => `${origin.start.line}: ${what}`),
        again(seed),
      ).toEqual([]);
    }
  }
});

test("the same seed gives the same protocol", () => {
  expect(SEEDS.map(randomProtocol)).toEqual(SEEDS.map(randomProtocol));
  expect(new Set(SEEDS.map(randomProtocol)).size).toBe(SEEDS.length);
});
