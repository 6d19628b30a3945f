import { formatText } from "@limbwright/language";
import { expect, test } from "vitest";
import { codeOf, commentsOf, meaningOf } from "../fuzz/kept-content.ts";
import { untidyProtocol } from "../fuzz/random-protocol.ts";
import { numberFromEnvironment } from "../solver/random.ts";

const FIRST_SEED = numberFromEnvironment("FUZZ_SEED", 10_000);
const COUNT = 500;

test(`${COUNT} untidy protocols keep comments, code and meaning, seeds from ${FIRST_SEED}`, () => {
  for (let seed = FIRST_SEED; seed < FIRST_SEED + COUNT; seed++) {
    const text = untidyProtocol(seed);
    const result = formatText(text);
    if (result.kind === "refused") throw new Error(`seed ${seed}: ${result.reason}`);
    expect(formatText(result.text), `seed ${seed} again`).toEqual(result);
    expect(commentsOf(result.text), `seed ${seed}`).toEqual(commentsOf(text));
    expect(codeOf(result.text), `seed ${seed}`).toBe(codeOf(text));
    expect(meaningOf(result.text), `seed ${seed}`).toEqual(meaningOf(text));
  }
});
