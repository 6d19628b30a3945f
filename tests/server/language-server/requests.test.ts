import {
  COMPARISON,
  COMPILE,
  type ComparisonAsked,
  type ComparisonPage,
  type ComparisonRefused,
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
import { CancellationTokenSource, LSPErrorCodes } from "vscode-languageserver-protocol/node";
import { filesIn, textOf } from "../../examples/site.ts";
import { ruleFileOf } from "../../replay/replayed.ts";
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
    timesSay: expect.stringContaining("release 30:00"),
    caution: expect.stringContaining("not a medical device"),
  });
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

function asked(uri: string, earlier: Readonly<Record<string, string>>): ComparisonAsked {
  return { uri, beforeUri: uri, beforeName: "the last commit", nowName: "one.limb", earlier };
}

test("two texts of a file are compared by what they mean, each change with both its lines", async () => {
  const { client, uri } = await opened(WRIST.replace("3 mg/kg up to 200 mg", "3 mg/kg up to 250 mg"));
  const page: ComparisonPage = await client.connection.sendRequest(COMPARISON, asked(uri, { [uri]: WRIST }));
  expect(page.markup).toContain("More for over about 66.67 kg to 130 kg");
  const [, line] =
    /data-side="before" data-file="drafts\/one.limb" data-line="(\d+)"/.exec(page.markup) ?? [];
  expect(WRIST.split("\n")[Number(line) - 1]).toContain("3 mg/kg up to 200 mg");
  expect(page.files["drafts/one.limb"]).toBe(uri);
});

test("what the earlier text uses counts as it was then, where that is given, and is named where it is not", async () => {
  const { client, uri } = await opened(WRIST);
  const formulary = client.uriOf("formulary.limb");
  const first: ComparisonPage = await client.connection.sendRequest(COMPARISON, asked(uri, { [uri]: WRIST }));
  expect(first.asTheyStand).toContain(formulary);
  expect(first.markup).toContain("No change");
  const earlier = (HOSPITAL["formulary.limb"] ?? "").replace(
    "maximum       4 mg/kg",
    "maximum       3.5 mg/kg",
  );
  const texts = { [uri]: WRIST, [formulary]: earlier };
  const second: ComparisonPage = await client.connection.sendRequest(COMPARISON, asked(uri, texts));
  expect(second.asTheyStand).not.toContain(formulary);
  expect(second.markup).toContain("The maximum of");
});

test("a text is compared with a rule file, whose lines lead nowhere; another file is refused", async () => {
  const { client, uri } = await opened(WRIST.replace("3 mg/kg up to 200 mg", "3 mg/kg up to 250 mg"));
  const beforeUri = client.uriOf("approved/wrist.json");
  const comparedWith = (text: string) =>
    client.connection.sendRequest<ComparisonPage | ComparisonRefused>(COMPARISON, {
      ...asked(uri, { [beforeUri]: text }),
      beforeUri,
    });
  const page = await comparedWith(ruleFileOf("wrist-reduction"));
  expect(page).toMatchObject({ markup: expect.stringContaining("More for over about 66.67 kg to 130 kg") });
  expect(page).toMatchObject({ markup: expect.stringContaining('data-side="now"') });
  expect(page).not.toMatchObject({ markup: expect.stringContaining('data-side="before"') });
  const changed = ruleFileOf("wrist-reduction").replace('"200"', '"250"');
  expect(await comparedWith(changed)).toMatchObject({ refused: expect.stringContaining("digest") });
  expect(await comparedWith("{}")).toHaveProperty("refused");
});

test("a change of a formulary is shown in the protocols that use it", async () => {
  const { client } = await opened(WRIST);
  const formulary = client.uriOf("formulary.limb");
  const earlier = (HOSPITAL["formulary.limb"] ?? "").replace("maximum       300 mg", "maximum       150 mg");
  const page: ComparisonPage = await client.connection.sendRequest(
    COMPARISON,
    asked(formulary, { [formulary]: earlier }),
  );
  expect(page.markup).toContain("<code>wrist-reduction</code>");
  expect(page.markup).toContain("The maximum of <code>lidocaine</code>");
});

test("while a comparison goes on, other questions are answered, and it can be cancelled", async () => {
  const { client, uri } = await opened(WRIST.replace("at least 30 min", "at least 31 min"));
  const answered: string[] = [];
  const compared = client.connection
    .sendRequest<ComparisonPage>(COMPARISON, asked(uri, { [uri]: WRIST }))
    .then(() => answered.push("comparison"));
  await client.request("textDocument/documentSymbol", "drafts/one.limb").then(() => answered.push("symbols"));
  await compared;
  expect(answered).toEqual(["symbols", "comparison"]);
  // So much is to be compared that it is not done before anybody can say that it is not wanted.
  const body = WRIST.slice(WRIST.indexOf("protocol wrist-reduction"));
  const more = Array.from({ length: 12 }, (_, at) => body.replace("wrist-reduction", `wrist-${at}`));
  const many = [WRIST, ...more].join("\n");
  await client.change("drafts/one.limb", { text: many.replaceAll("at least 30 min", "at least 31 min") });
  const cancelling = new CancellationTokenSource();
  const cancelled = client.connection.sendRequest(COMPARISON, asked(uri, { [uri]: many }), cancelling.token);
  cancelling.cancel();
  await expect(cancelled).rejects.toMatchObject({ code: LSPErrorCodes.RequestCancelled });
  // The thread goes on with what comes next.
  await client.change("drafts/one.limb", { text: WRIST.replace("at least 30 min", "at least 31 min") });
  const page: ComparisonPage = await client.connection.sendRequest(COMPARISON, asked(uri, { [uri]: WRIST }));
  expect(page.markup).toContain("31 min");
});

test("a text that is not known is compared with nothing", async () => {
  const { client } = await opened(WRIST);
  const uri = "file:///elsewhere/one.limb";
  expect(await client.connection.sendRequest(COMPARISON, asked(uri, {}))).toBeNull();
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

test("of a template with its formulary nothing is found but the words that are its author's to write, and it is given only under a name of the language", async () => {
  const { client } = await opened("");
  const asked = { name: "elbow", title: "Elbow", place: "upper-arm", formulary: "formulary.limb" };
  const template: Template = await client.connection.sendRequest(TEMPLATE, asked);
  const other = await startClient({ "formulary.limb": template.formulary, "elbow.limb": template.protocol });
  await other.settled();
  expect([...other.diagnostics.values()].flat().map(({ code }) => code)).toEqual(["template-text-left"]);
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
