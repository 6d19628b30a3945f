import { expect, test } from "vitest";
import type {
  DocumentSymbol,
  FoldingRange,
  Hover,
  InlayHint,
  MarkupContent,
  SelectionRange,
  SemanticTokens,
} from "vscode-languageserver-protocol";
import { filesIn, textOf } from "../../examples/site.ts";
import { serverForAll } from "./client.ts";
import { marked, wordsIn } from "./cursor.ts";
import { PROTOCOL, SITE } from "./small-site.ts";

const startClient = serverForAll();

const HOSPITAL = Object.fromEntries(filesIn(".").map((file) => [file, textOf(file) ?? ""]));
const FILE = "protocols/wrist-reduction.limb";
const WRIST = textOf(FILE) ?? "";

async function opened(file: string, text: string, site: Readonly<Record<string, string>> = HOSPITAL) {
  const client = await startClient(site);
  await client.open(file, text);
  await client.settled();
  return client;
}

async function hoverAt(textWithMark: string, file = FILE): Promise<string> {
  const { text, position } = marked(textWithMark);
  const client = await opened(file, text, file === FILE ? HOSPITAL : SITE);
  const hover = await client.request<Hover | null>("textDocument/hover", file, { position });
  return (hover?.contents as MarkupContent | undefined)?.value ?? "";
}

test.each([
  [
    "a dose, at chosen patients",
    "inject local",
    "inject lo<|>cal",
    [/at 45 kg: 135 mg/, /at 130 kg: 200 mg/, /judges no patient/],
  ],
  ["a drug", "of lidocaine", "of lido<|>caine", [/maximum 4 mg\/kg/, /source: US product label/]],
  [
    "a clock, with the times of all runs",
    "wait for hold",
    "wait for ho<|>ld",
    [/release 30:00/, /occlusion/],
  ],
  ["a cuff", "confirm distal", "confirm dis<|>tal", [/“white”/, /250 to 280 mmHg/]],
  ["a word of the trade", "exsanguinate by bandage", "exsang<|>uinate by bandage", [/emptied of blood/]],
  [
    "an age",
    "16 to 85 years",
    "16 to 8<|>5 years",
    [/completed years: until the day before the 86th birthday/],
  ],
  ["an event", "when tourniquet-pain", "when tourniquet-p<|>ain", [/feels the cuff/]],
])("a hover says what stands there: %s", async (_, before, now, expected) => {
  const told = await hoverAt(WRIST.replace(before, now));
  for (const words of expected) expect(told).toMatch(words);
});

test.each([
  ["a dose", "inject local", "inject lo<|>cal", /mg =/],
  ["a cuff", "confirm distal", "confirm dis<|>tal", /\d+ mmHg/],
])(
  "while it is not understood whom a protocol covers, a hover on %s shows no number",
  async (_, before, now, numbers) => {
    const text = WRIST.replace(before, now);
    expect(await hoverAt(text)).toMatch(numbers);
    const half = text.replace(/weight +45 to 130 kg/, "weight   45 to");
    expect(half).not.toBe(text);
    expect(await hoverAt(half)).not.toMatch(numbers);
  },
);

test("a hover on a rule names its parameters and sources", async () => {
  const { text, position } = marked(
    (HOSPITAL["local-rules.limb"] ?? "").replace("pressure-margin", "pressure-<|>margin"),
  );
  const client = await opened("local-rules.limb", text);
  const hover = await client.request<Hover>("textDocument/hover", "local-rules.limb", { position });
  expect((hover.contents as MarkupContent).value).toMatch(/margin[\s\S]*Sources:/);
});

test("the author's texts never become markup in a hover", async () => {
  const title = "<script>alert(1)</script> [x](command:y) **bold**";
  const told = await hoverAt(PROTOCOL.replace('wrist "Wrist"', `wr<|>ist "${title}"`), "wrist.limb");
  expect(told).not.toMatch(/<script|\]\(|[^\\]\*\*bold/);
  expect(told).toContain("&lt;script&gt;".replace("&gt;", "\\&gt;").slice(0, 10));
});

test("amounts show what they are over all patients, times over all runs", async () => {
  const client = await opened(FILE, WRIST);
  const range = { start: { line: 0, character: 0 }, end: { line: 500, character: 0 } };
  const hints = await client.request<InlayHint[]>("textDocument/inlayHint", FILE, { range });
  const told = hints.map(({ label }) => label);
  expect(told).toEqual(
    expect.arrayContaining([
      "→ 135 to 200 mg, 27 to 40 mL",
      "→ 250 to 280 mmHg",
      "earliest release 30:00",
      "until 30:00",
    ]),
  );
  await client.change(FILE, { text: WRIST.replace("patients {", "patients") });
  await client.settled();
  const broken = await client.request<InlayHint[]>("textDocument/inlayHint", FILE, { range });
  expect(broken.map(({ label }) => label)).not.toContain("earliest release 30:00");
});

test("the outline is a tree of what the text declares, also of a broken one", async () => {
  const client = await opened("wrist.limb", `${PROTOCOL}\nprotocol other {\n  steps {\n    inflate\n`, SITE);
  const symbols = await client.request<DocumentSymbol[]>("textDocument/documentSymbol", "wrist.limb");
  const lines = (all: readonly DocumentSymbol[], depth = 0): string[] =>
    all.flatMap(({ name, children }) => [`${" ".repeat(depth)}${name}`, ...lines(children ?? [], depth + 1)]);
  expect(lines(symbols)).toEqual([
    "wrist",
    " cuffs",
    "  upper",
    "  lower",
    " local",
    " hold",
    " steps",
    "other",
    " steps",
  ]);
});

test("blocks, comments and uses fold", async () => {
  const client = await opened("wrist.limb", `// one\n// two\n${PROTOCOL}`, SITE);
  const folds = await client.request<FoldingRange[]>("textDocument/foldingRange", "wrist.limb");
  expect(folds).toContainEqual({ startLine: 0, endLine: 1, kind: "comment" });
  expect(folds).toContainEqual({ startLine: 2, endLine: 3, kind: "imports" });
  const lines = `// one\n// two\n${PROTOCOL}`.split("\n");
  expect(folds.map(({ startLine }) => lines[startLine]?.trim())).toContain("steps {");
});

test("a selection grows from the word to the file", async () => {
  const { text, position } = marked(PROTOCOL.replace("confirm upper", "confirm up<|>per"));
  const client = await opened("wrist.limb", text, SITE);
  const [range] = await client.request<SelectionRange[]>("textDocument/selectionRange", "wrist.limb", {
    positions: [position],
  });
  const grown: string[] = [];
  for (let at: SelectionRange | undefined = range; at; at = at.parent) grown.push(wordsIn(text, at.range));
  expect(grown.slice(0, 2)).toEqual(["upper", "confirm upper"]);
  expect(grown[2]).toMatch(/^steps \{[\s\S]*\}$/);
  expect(grown.at(-1)).toBe(text);
});

test("every word has its colour", async () => {
  const client = await opened("wrist.limb", PROTOCOL, SITE);
  const legend = (
    client.initialized.capabilities.semanticTokensProvider as { legend: { tokenTypes: string[] } }
  ).legend;
  const { data } = await client.request<SemanticTokens>("textDocument/semanticTokens/full", "wrist.limb");
  const found = new Map<string, string>();
  let [line, character] = [0, 0];
  for (let at = 0; at < data.length; at += 5) {
    const [down = 0, right = 0, length = 0, type = 0] = data.slice(at, at + 4);
    [line, character] = down > 0 ? [line + down, right] : [line, character + right];
    const words = PROTOCOL.split("\n")[line]?.slice(character, character + length) ?? "";
    found.set(words, legend.tokenTypes[type] ?? "");
  }
  expect(Object.fromEntries(found)).toMatchObject({
    protocol: "keyword",
    lignocaine: "type",
    upper: "variable",
    '"grey"': "string",
    "30 min": "number",
    "staged-release": "function",
  });
});
