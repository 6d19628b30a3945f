import { isDeepStrictEqual } from "node:util";
import fc from "fast-check";
import { expect, test } from "vitest";
import { filesIn, textOf } from "../../examples/site.ts";
import { again, firstSeed, howMany } from "../../questions.ts";
import { startClient } from "./client.ts";

const SHARED = Object.fromEntries(filesIn(".").map((file) => [file, textOf(file) ?? ""]));
const ONE_BY_ONE = [
  "protocols/wrist-reduction.limb",
  "flawed/swap-the-wrong-way.limb",
  "flawed/recipe.limb",
].map((file) => textOf(file) ?? "");
const TEXTS = [...ONE_BY_ONE, ONE_BY_ONE.join("\n")];

/** An edit of a text: what is taken out of it, by shares of its length, and what is put in its place. */
const EDIT = fc.record({
  at: fc.double({ min: 0, max: 1, noNaN: true }),
  length: fc.oneof(fc.constant(0), fc.nat(12), fc.nat(200)),
  put: fc.oneof(
    fc.constantFrom(
      "",
      "}",
      "{",
      '"',
      " 5",
      ".0 ",
      "\n",
      "min",
      "inflate all\n",
      "// ",
      'use "events.limb"\n',
    ),
    fc.string({ maxLength: 6 }),
    fc.constantFrom(...TEXTS.flatMap((text) => text.split("\n"))).map((line) => `${line}\n`),
  ),
});

const SEQUENCE = fc.record({
  start: fc.nat(TEXTS.length - 1),
  edits: fc.array(EDIT, { minLength: 1, maxLength: 8 }),
});

test("after random edits the findings are those of the final text opened anew", async () => {
  expect(await sequencesThatDiffer(howMany(800), firstSeed()), again(firstSeed())).toEqual([]);
});

/**
 * Types random edits one after the other, some waited for and some not, and holds what is found in the end against what is
 * found in the final text opened anew; gives the sequences where the two differ.
 */
async function sequencesThatDiffer(runs: number, seed: number): Promise<string[]> {
  const differing: string[] = [];
  const client = await startClient(SHARED);
  const fresh = await startClient(SHARED);
  await Promise.all([client.settled(), fresh.settled()]);
  for (const [index, { start, edits }] of fc.sample(SEQUENCE, { numRuns: runs, seed }).entries()) {
    const file = `typed-${index}.limb`;
    let text = TEXTS[start] ?? "";
    await client.open(file, text);
    for (const { at, length, put } of edits) {
      const from = Math.floor(at * text.length);
      const end = Math.min(text.length, from + length);
      const range = { start: positionIn(text, from), end: positionIn(text, end) };
      await client.change(file, { range, text: put });
      text = text.slice(0, from) + put + text.slice(end);
      if (put.length % 3 === 0) await new Promise((resolve) => setTimeout(resolve, put.length % 4));
    }
    await fresh.open(file, text);
    await Promise.all([client.settled(), fresh.settled()]);
    const found = (of: typeof client) =>
      Object.fromEntries(
        [...of.diagnostics]
          .filter(([, diagnostics]) => diagnostics.length > 0)
          .map(([uri, diagnostics]) => [
            uri.slice(of.uriOf("").length),
            JSON.stringify(diagnostics).replaceAll(of.uriOf(""), ""),
          ]),
      );
    if (!isDeepStrictEqual(found(client), found(fresh)))
      differing.push(`sequence ${index}:
${text}`);
    const close = { textDocument: { uri: client.uriOf(file) } };
    await client.connection.sendNotification("textDocument/didClose", close);
    await fresh.connection.sendNotification("textDocument/didClose", {
      textDocument: { uri: fresh.uriOf(file) },
    });
    await Promise.all([client.settled(), fresh.settled()]);
  }
  return differing;
}

function positionIn(text: string, offset: number) {
  const lines = text.slice(0, offset).split(/\r\n|\n|\r/);
  return { line: lines.length - 1, character: lines.at(-1)?.length ?? 0 };
}
