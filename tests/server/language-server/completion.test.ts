import { judgeFile, Site } from "@limbwright/language";
import { STATEMENTS } from "@limbwright/language/editor";
import { expect, test } from "vitest";
import { type CompletionItem, CompletionItemKind, type SignatureHelp } from "vscode-languageserver-protocol";
import { serverForAll, startClient } from "./client.ts";
import { marked } from "./cursor.ts";
import { PROTOCOL, SITE } from "./small-site.ts";

const withSnippets = serverForAll({
  capabilities: { textDocument: { completion: { completionItem: { snippetSupport: true } } } },
});

async function offeredAt(textWithMark: string, start = withSnippets): Promise<CompletionItem[]> {
  const { text, position } = marked(textWithMark);
  const client = await start(SITE);
  await client.open("wrist.limb", text);
  return client.request("textDocument/completion", "wrist.limb", { position });
}

function labels(items: readonly CompletionItem[]): string[] {
  return items.map(({ label }) => label);
}

test.each([
  ["a statement of the steps", "inject local\n    <|>", ["inflate", "wait for", "stage"], ["dose", "weight"]],
  ["a statement half written", "inject local\n    infl<|>", ["inflate"], ["dose"]],
  ["a cuff after its verb", "inject local\n    deflate <|>", ["upper", "lower", "all"], ["local"]],
  ["a dose to inject", "inject local\n    inject <|>", ["local"], ["upper"]],
  ["a timer to wait for", "inject local\n    wait for <|>", ["hold"], ["local"]],
  ["a routine to do", "inject local\n    do <|>", ["staged-release", "last-deflation"], ["hold"]],
  ["an event", "inject local\n    when <|>", ["tourniquet-pain", "cuff-leak"], ["upper"]],
  ["a cuff of an event", "inject local\n    when cuff-leak of <|>", ["upper", "lower"], ["local"]],
  ["a unit of time", "inject local\n    wait 5 <|>", ["min", "s", "h"], ["mg", "mmHg"]],
])("in a text that is not finished the editor offers %s", async (_, words, offered, others) => {
  const found = labels(await offeredAt(PROTOCOL.replace("inject local", words)));
  expect(found).toEqual(expect.arrayContaining(offered));
  expect(found.filter((label) => others.includes(label))).toEqual([]);
});

test.each([
  ["a section", "  steps {", "  <|>\n  steps {", ["patients", "throughout", "emergency"]],
  ["a drug", "of lignocaine", "of <|>", ["lidocaine"]],
  ["a unit of an amount", "amount 3 mg/kg", "amount 3 <|>", ["mg", "mg/kg", "mL"]],
  ["a unit of a pressure", "pressure 250 mmHg", "pressure 250 <|>", ["mmHg"]],
  ["a unit in a table", "amount 3 mg/kg", "amount by weight {\n    45 kg to under 50 <|>", ["kg", "mL"]],
  ["where a vein is", "  steps {", "  prepare {\n    iv-access <|>\n  }\n  steps {", ["other-limb"]],
  ["what is watched", "  steps {", "  prepare {\n    monitoring ecg, <|>\n  }\n  steps {", ["spo2", "nibp"]],
  ["a place", "on upper-arm", "on <|>", ["upper-arm", "thigh"]],
  ["a file to use", '"formulary.limb"', '"<|>"', ["formulary.limb", "routines.limb"]],
])("the editor offers %s", async (_, before, now, offered) => {
  expect(labels(await offeredAt(PROTOCOL.replace(before, now)))).toEqual(expect.arrayContaining(offered));
});

test("names that another protocol of the file declares are not offered", async () => {
  const other = PROTOCOL.replace(/^use .*$/gm, "")
    .replace("protocol wrist", "protocol elbow")
    .replaceAll("hold", "elbow-hold");
  const found = labels(
    await offeredAt(`${PROTOCOL.replace("inject local", "inject local\n    wait for <|>")}\n${other}`),
  );
  expect(found).toContain("hold");
  expect(found).not.toContain("elbow-hold");
});

test("nothing is offered in a comment or a text", async () => {
  expect(await offeredAt(PROTOCOL.replace("inject local", "inject local // inf<|>"))).toEqual([]);
  expect(await offeredAt(PROTOCOL.replace('"Wrist"', '"Wri<|>st"'))).toEqual([]);
});

test("a section comes with places to fill in, or filled in for an editor that knows none", async () => {
  const at = PROTOCOL.replace("  steps {", "  pat<|>\n  steps {");
  const patients = (items: CompletionItem[]) => items.find(({ label }) => label === "patients");
  const template = patients(await offeredAt(at));
  expect(template?.kind).toBe(CompletionItemKind.Snippet);
  expect(template?.textEdit?.newText).toContain("${1:16 to 85 years}");
  expect(patients(await offeredAt(at, startClient))?.textEdit?.newText).toContain(
    "age      16 to 85 years\n",
  );
});

/** Where a statement of a block stands in a text that has every block. */
const AROUND: Readonly<Record<string, string>> = {
  "": "<>",
  agent: "agent a {\n<>\n}",
  ask: 'protocol p {\n steps {\n ask "Question?" {\n<>\n}\n}\n}',
  cuffs: "protocol p {\n cuffs c on thigh {\n<>\n}\n}",
  dose: "protocol p {\n dose d of a {\n<>\n}\n}",
  emergency: "protocol p {\n emergency e {\n<>\n}\n}",
  "local-rules": "local-rules r {\n<>\n}",
  patients: "protocol p {\n patients {\n<>\n}\n}",
  prepare: "protocol p {\n prepare {\n<>\n}\n}",
  protocol: "protocol p {\n<>\n}",
  scenario: 'scenario "s" for p {\n<>\n}',
  throughout: "protocol p {\n throughout {\n<>\n}\n}",
  timer: "protocol p {\n timer t from release {\n<>\n}\n}",
};

test.each(
  Object.entries(STATEMENTS).flatMap(([block, all]) =>
    all.map((one) => [block || "the file", one.word, block, one.template]),
  ),
)("in %s the template of `%s` is understood", (_, _word, block, template) => {
  const filled = template.replace(/\$\{\d+:([^}]*)\}/g, "$1").replace(/\$0/g, "");
  const around = AROUND[block];
  if (around === undefined) throw new Error(`no text is known that has a block of ${block}`);
  const text = around.replace("<>", () => filled);
  const judged = judgeFile(new Site(() => text), "text.limb", { on: "2026-11-25", withoutRuns: true });
  const unread = judged?.inText.filter(({ rule }) =>
    ["text-not-understood", "statement-out-of-place"].includes(rule),
  );
  expect(unread?.map(({ what }) => what)).toEqual([]);
});

test.each([
  ["3 mg/kg <|>", "AMOUNT", 0],
  ["3 mg/kg up to <|>", "AMOUNT up to LIMIT", 1],
  ["lesser of <|>", "lesser of AMOUNT and OTHER", 0],
  ["lesser of 3 mg/kg and <|>", "lesser of AMOUNT and OTHER", 1],
  ["half of <|>", "SHARE of AMOUNT", 1],
])("while an amount is written its forms are shown: %s", async (amount, form, part) => {
  const { text, position } = marked(PROTOCOL.replace("3 mg/kg up to 200 mg", amount));
  const client = await withSnippets(SITE);
  await client.open("wrist.limb", text);
  const help = await client.request<SignatureHelp>("textDocument/signatureHelp", "wrist.limb", { position });
  expect(help.signatures[help.activeSignature ?? -1]?.label).toBe(form);
  expect(help.activeParameter).toBe(part);
});
