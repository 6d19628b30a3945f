import { formatText } from "@limbwright/language";
import { expect, test } from "vitest";
import { codeOf, commentsOf, meaningOf } from "../fuzz/kept-content.ts";
import { randomProtocol, untidyProtocol } from "../fuzz/random-protocol.ts";
import { again, seeds } from "../questions.ts";

const SEEDS = seeds(500);

test(`${SEEDS.length} untidy protocols keep comments, code and meaning, and are tidy then`, () => {
  for (const seed of SEEDS) {
    const text = untidyProtocol(seed);
    const result = formatText(text);
    if (result.kind === "refused") throw new Error(`${again(seed)}: ${result.reason}`);
    expect(formatText(result.text), again(seed)).toEqual(result);
    expect(commentsOf(result.text), again(seed)).toEqual(commentsOf(text));
    expect(codeOf(result.text), again(seed)).toBe(codeOf(text));
    expect(meaningOf(result.text), again(seed)).toEqual(meaningOf(text));
    expect(meaningOf(text), again(seed)).toEqual(meaningOf(randomProtocol(seed)));
  }
});
