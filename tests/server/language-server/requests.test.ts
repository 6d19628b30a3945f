import {
  type CheckComparison,
  COMPARISON,
  COMPILE,
  type Output,
  PREVIEW,
  type PreviewModel,
  RULE_PAGE,
  RUN,
  type RunToStepThrough,
  SHEETS,
  TEMPLATE,
  type Template,
} from "@limbwright/shared/editor";
import { readRuleFile } from "@limbwright/shared/rule-file";
import { expect, test } from "vitest";
import { filesIn, textOf } from "../../examples/site.ts";
import { serverForAll } from "./client.ts";
import { wordsIn } from "./cursor.ts";

const startClient = serverForAll();

const HOSPITAL = Object.fromEntries(filesIn(".").map((file) => [file, textOf(file) ?? ""]));
const WRIST = textOf("protocols/wrist-reduction.limb") ?? "";
const FLAWED = textOf("flawed/swap-the-wrong-way.limb") ?? "";
const START = { line: 0, character: 0 };

async function opened(text: string) {
  const client = await startClient(HOSPITAL);
  await client.open("drafts/one.limb", text);
  await client.settled();
  return { client, uri: client.uriOf("drafts/one.limb") };
}

test("a preview is told the protocol's state, times and doses", async () => {
  const { client, uri } = await opened(WRIST);
  const model: PreviewModel = await client.connection.sendRequest(PREVIEW, { uri, position: START });
  expect(model).toMatchObject({
    protocol: "wrist-reduction",
    state: "holds",
    times: { release: { earliest: 1800 } },
    caution: expect.stringContaining("not a medical device"),
  });
  expect(model.doses[0]?.samples[0]).toMatchObject({ patient: "45 kg" });
});

test("the run that breaks a rule can be stepped through, each step with its place", async () => {
  const { client, uri } = await opened(FLAWED);
  const model: PreviewModel = await client.connection.sendRequest(PREVIEW, { uri, position: START });
  expect(model.state).toBe("broken");
  const range = { start: START, end: { line: 1000, character: 0 } };
  const run: RunToStepThrough = await client.connection.sendRequest(RUN, { uri, rule: "no-cuff-up", range });
  const last = run.steps.at(-1);
  expect(last?.after).toContain("no cuff up");
  expect(wordsIn(FLAWED, last?.place?.range ?? range)).toMatch(/^deflate/);
  expect(await client.connection.sendRequest(RUN, { uri, rule: "trailing-zero", range })).toBeNull();
});

test("two texts of a file are compared by what the rules find", async () => {
  const { client, uri } = await opened(WRIST.replace("3 mg/kg up to 200 mg", "5 mg/kg up to 200 mg"));
  const compared: CheckComparison = await client.connection.sendRequest(COMPARISON, { uri, before: WRIST });
  expect(compared.protocols[0]?.appeared.map(({ rule }) => rule)).toContain("dose-over-maximum");
  expect(compared.protocols[0]?.vanished).toEqual([]);
  expect(compared.protocols[0]?.verdicts).toContainEqual({
    rule: "dose-over-maximum",
    before: "holds",
    now: "broken",
  });
  expect(compared.limit).toContain("Only what the rules find");
});

test("while a text is typed, what the runs showed before stays and is marked stale", async () => {
  const { client, uri } = await opened(FLAWED);
  const seen: string[] = [];
  client.connection.onNotification("textDocument/publishDiagnostics", ({ diagnostics }) => {
    for (const { code, source, range } of diagnostics) {
      if (code === "no-cuff-up") seen.push(`${source} ${range.start.line}`);
    }
  });
  const before = client.found("drafts/one.limb").find((line) => line.endsWith("no-cuff-up")) ?? "";
  const line = Number(before.split(":")[0]) - 1;
  await client.change("drafts/one.limb", { text: `// a comment\n${FLAWED}` });
  await client.settled();
  expect(seen).toEqual([`limb, before the last change ${line + 1}`, `limb ${line + 1}`]);
  expect(uri).toContain("one.limb");
});

test("rule files and sheets are given as text, and refused as on the command line", async () => {
  const { client, uri } = await opened(WRIST);
  const [file]: Output[] = await client.connection.sendRequest(COMPILE, { uri, draft: false });
  const [sheet]: Output[] = await client.connection.sendRequest(SHEETS, {
    uri,
    draft: false,
    graduation: "0.5",
  });
  expect(file).toMatchObject({ kind: "written", name: "wrist-reduction.json" });
  expect(file?.kind === "written" && readRuleFile(file.text).kind).toBe("read");
  expect(sheet).toMatchObject({ kind: "written", name: "wrist-reduction.html" });
  expect(sheet?.kind === "written" && sheet.meaning).toBe(file?.kind === "written" && file.meaning);

  const unsafe = await opened(FLAWED);
  const ask = (draft: boolean) =>
    unsafe.client.connection.sendRequest<Output[]>(COMPILE, { uri: unsafe.uri, draft });
  expect(await ask(false)).toMatchObject([
    { kind: "refused", because: expect.stringContaining("not written") },
  ]);
  expect(await ask(true)).toMatchObject([{ kind: "written" }]);
});

test("a template has no findings with its formulary, and is given only under a name of the language", async () => {
  const { client } = await opened("");
  const asked = { name: "elbow", title: "Elbow", place: "upper-arm", formulary: "formulary.limb" };
  const template: Template = await client.connection.sendRequest(TEMPLATE, asked);
  const other = await startClient({ "formulary.limb": template.formulary, "elbow.limb": template.protocol });
  await other.settled();
  expect([...other.diagnostics.values()].flat()).toEqual([]);
  for (const wrong of [{ name: "No name" }, { title: 'a " quote' }, { place: "neck" }]) {
    expect(await client.connection.sendRequest(TEMPLATE, { ...asked, ...wrong })).toBeNull();
  }
});

test("the page of a rule comes with the caution, and there is none of a rule that is not", async () => {
  const { client } = await opened("");
  const page = await client.connection.sendRequest(RULE_PAGE, { rule: "early-release" });
  expect(page).toMatch(/^# early-release[\s\S]*not a medical device/);
  expect(await client.connection.sendRequest(RULE_PAGE, { rule: "constructor" })).toBeNull();
});
