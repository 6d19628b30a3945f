import { formatText } from "@limbwright/language";
import { expect, test } from "vitest";
import type { TextEdit } from "vscode-languageserver-protocol";
import { textOf } from "../../examples/site.ts";
import { serverForAll } from "./client.ts";
import { edited } from "./cursor.ts";
import { SITE } from "./small-site.ts";

const startClient = serverForAll();

const NEAT = textOf("protocols/wrist-reduction.limb") ?? "";
const UNTIDY = NEAT.replace(/^ {4}/gm, "\t ").replace("\n\n", "\n\n\n\n");
const OPTIONS = { options: { tabSize: 2, insertSpaces: true } };

test("a whole text is laid out as the command line lays it out", async () => {
  const client = await startClient(SITE);
  await client.open("neat.limb", UNTIDY);
  const edits = await client.request<TextEdit[]>("textDocument/formatting", "neat.limb", OPTIONS);
  const formatted = formatText(UNTIDY);
  expect(edited(UNTIDY, edits)).toBe(formatted.kind === "formatted" ? formatted.text : "");
  expect(edits.length).toBeGreaterThan(1);
});

test("only the lines of a range are laid out", async () => {
  const client = await startClient(SITE);
  const lines = NEAT.split("\n");
  const untidy = lines
    .map((line, index) => (index === 20 || index === 40 ? `      ${line}` : line))
    .join("\n");
  await client.open("neat.limb", untidy);
  const range = { start: { line: 19, character: 0 }, end: { line: 21, character: 0 } };
  const edits = await client.request<TextEdit[]>("textDocument/rangeFormatting", "neat.limb", {
    range,
    ...OPTIONS,
  });
  const now = edited(untidy, edits).split("\n");
  expect(now[20]).toBe(lines[20]);
  expect(now[40]).toBe(`      ${lines[40]}`);
});

test("what was just typed is laid out", async () => {
  const client = await startClient(SITE);
  const untidy = NEAT.replace("    inflate proximal\n", " inflate proximal\n");
  await client.open("neat.limb", untidy);
  const line = untidy.split("\n").indexOf(" inflate proximal") + 1;
  const params = { position: { line, character: 0 }, ch: "\n", ...OPTIONS };
  const edits = await client.request<TextEdit[]>("textDocument/onTypeFormatting", "neat.limb", params);
  expect(edited(untidy, edits)).toBe(NEAT);
});

test("a text with errors is refused, with the line", async () => {
  const client = await startClient(SITE);
  await client.open("neat.limb", NEAT.replace("steps {", "steps"));
  const formatted = client.request("textDocument/formatting", "neat.limb", OPTIONS);
  await expect(formatted).rejects.toThrow(/left as it is: line \d+/);
});
