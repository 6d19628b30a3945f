import { STEP_THROUGH_COMMAND } from "@limbwright/shared/editor";
import { expect, test } from "vitest";
import type { CodeAction, CodeLens } from "vscode-languageserver-protocol";
import { filesIn, textOf } from "../../examples/site.ts";
import { type Client, serverForAll, startClient } from "./client.ts";
import { edited, marked } from "./cursor.ts";
import { PROTOCOL, SITE } from "./small-site.ts";

const WRIST = "protocols/wrist-reduction.limb";
const HOSPITAL = Object.fromEntries([...filesIn("."), WRIST].map((file) => [file, textOf(file) ?? ""]));

const ofPlainClient = serverForAll();
const ofClientThatAsks = serverForAll({ initializationOptions: { canAskForReason: true } });

async function actionsAt(
  file: string,
  textWithMark: string,
  start: typeof startClient = ofPlainClient,
  site: Readonly<Record<string, string>> = SITE,
) {
  const { text, range } = marked(textWithMark);
  const client = await start(site);
  await client.open(file, text);
  await client.settled();
  return { client, text, actions: await actions(client, file, range) };
}

function actions(client: Client, file: string, range: object, only?: string[]): Promise<CodeAction[]> {
  return client.request("textDocument/codeAction", file, {
    range,
    context: { diagnostics: [], ...(only && { only }) },
  });
}

test("a repair that keeps the meaning is safe, and mends the text", async () => {
  const {
    client,
    text,
    actions: found,
  } = await actionsAt("wrist.limb", PROTOCOL.replace("200 mg", "<|200.0 mg|>"));
  const [repair] = found.filter(({ kind }) => kind === "quickfix");
  expect(repair?.title).toMatch(/\(safe: the meaning stays\)$/);
  expect(repair?.isPreferred).toBe(true);
  expect(edited(text, repair?.edit?.changes?.[client.uriOf("wrist.limb")] ?? [])).toBe(PROTOCOL);
});

test("a repair that may change the meaning needs a look", async () => {
  const {
    client,
    text,
    actions: found,
  } = await actionsAt("wrist.limb", PROTOCOL.replace("inject local", "inject <|locale|>"));
  const [repair] = found;
  expect(repair?.title).toMatch(/\(needs a look\)$/);
  expect(edited(text, repair?.edit?.changes?.[client.uriOf("wrist.limb")] ?? [])).toBe(PROTOCOL);
});

test("all safe repairs of a file are made at once", async () => {
  const slips = PROTOCOL.replace("200 mg", "200.0 mg")
    .replace("250 mmHg", "250.0 mmHg")
    .replace("30 min", "30.0 <|>min");
  const { client, text } = await actionsAt("wrist.limb", slips);
  const whole = { start: { line: 0, character: 0 }, end: { line: 0, character: 0 } };
  const [all] = await actions(client, "wrist.limb", whole, ["source.fixAll"]);
  expect(edited(text, all?.edit?.changes?.[client.uriOf("wrist.limb")] ?? [])).toBe(PROTOCOL);
});

const THIN = (textOf(WRIST) ?? "").replace("greater of systolic + 100", "<|greater of systolic + 60|>");
const FAST = (textOf(WRIST) ?? "").replace("over   90 s", "<|over   30 s|>");
const REASON = { because: 'Seen on the "ward"', by: "Clinical governance", until: "2027-01-31" };

test.each([
  ["a reason", REASON, true],
  ["an empty reason", { ...REASON, because: " " }, false],
  ["no role", { ...REASON, by: "" }, false],
  ["no end", { ...REASON, until: "" }, false],
  ["no answer", null, false],
])("accepting a finding with %s", async (_, reason, isWritten) => {
  const { client, actions: found } = await actionsAt(WRIST, FAST, ofClientThatAsks, HOSPITAL);
  const accept = found.find(({ title }) => title.startsWith("Leave it as it is"));
  expect(accept?.title).toContain("injection-too-fast");
  let written: { edit: { changes: Record<string, { newText: string; range: never }[]> } } | undefined;
  client.connection.onRequest("limbwright/askForReason", () => reason);
  client.connection.onRequest("workspace/applyEdit", (params) => {
    written = params as typeof written;
    return { applied: true };
  });
  await client.connection.sendRequest("workspace/executeCommand", accept?.command);
  expect(written !== undefined).toBe(isWritten);
  if (!written) return;
  const rules = HOSPITAL["local-rules.limb"] ?? "";
  const now = edited(rules, written.edit.changes[client.uriOf("local-rules.limb")] ?? []);
  expect(now).toContain('because "Seen on the ward" by "Clinical governance" until 2027-01-31');
  await client.open("local-rules.limb", now);
  await client.settled();
  const message = client.diagnostics
    .get(client.uriOf(WRIST))
    ?.find(({ code }) => code === "injection-too-fast")?.message;
  expect(message).toContain("Accepted by Clinical governance");
});

test("to let a finding stand is no fix: it comes last, and whoever asks for fixes alone is not offered it", async () => {
  const { client, actions: found } = await actionsAt(WRIST, FAST, ofClientThatAsks, HOSPITAL);
  const repair = found.find(({ title }) => title.startsWith("Write 90 s"));
  const accept = found.at(-1);
  expect(repair?.kind).toBe("quickfix");
  expect(accept?.title).toMatch(/^Leave it as it is: .*\(mends nothing\)$/);
  expect(accept?.kind).toBe("limbwright.accept");
  expect(accept?.isPreferred).toBeUndefined();
  const { range } = marked(FAST);
  const fixes = await actions(client, WRIST, range, ["quickfix"]);
  expect(fixes.map(({ title }) => title)).toContain(repair?.title);
  expect(fixes.filter(({ title }) => title.startsWith("Leave it as it is"))).toEqual([]);
  expect(await actions(client, WRIST, range, ["limbwright"])).toMatchObject([{ title: accept?.title }]);
});

test("accepting what is unsafe is not offered where nobody may", async () => {
  const { client, actions: found } = await actionsAt(WRIST, THIN, ofClientThatAsks, HOSPITAL);
  expect(client.diagnostics.get(client.uriOf(WRIST))?.map(({ code }) => code)).toContain(
    "pressure-margin-too-small",
  );
  expect(found.filter(({ title }) => title.startsWith("Leave it as it is"))).toEqual([]);
});

test("where the client cannot ask for a reason nothing can be accepted", async () => {
  const { actions: found } = await actionsAt(WRIST, FAST, ofPlainClient, HOSPITAL);
  expect(found.filter(({ title }) => title.startsWith("Leave it as it is"))).toEqual([]);
});

test("a protocol says above itself whether its rules hold, also in a broken text", async () => {
  const client = await ofPlainClient(HOSPITAL);
  await client.open(WRIST, textOf(WRIST) ?? "");
  await client.settled();
  const titles = async () =>
    (await client.request<CodeLens[]>("textDocument/codeLens", WRIST)).map(({ command }) => command?.title);
  expect(await titles()).toEqual([expect.stringMatching(/^all \d+ rules hold$/)]);
  await client.change(WRIST, { text: THIN.replace(/<\||\|>/g, "") });
  await client.settled();
  expect((await titles())[0]).toMatch(/1 (doubtful|unsafe|advice)/);
  await client.change(WRIST, { text: `${textOf(WRIST)}\nprotocol {` });
  await client.settled();
  expect((await titles())[0]).toMatch(/not decided/);
});

test("the run of a finding is offered to be stepped through, but only to a client that can", async () => {
  const early = "flawed/let-down-early.limb";
  const text = (textOf(early) ?? "").replace("deflate all for 10 s", "<|>deflate all for 10 s");
  const offered = async (start: typeof startClient) => {
    const { client, actions: found } = await actionsAt(early, text, start, HOSPITAL);
    const commands = found.flatMap(({ command }) =>
      command?.command === STEP_THROUGH_COMMAND ? [command] : [],
    );
    return commands.map(({ arguments: [asked] = [] }) => ({
      ...asked,
      isHere: asked.uri === client.uriOf(early),
    }));
  };
  expect(await offered(ofPlainClient)).toEqual([]);
  const thatSteps = (site: Readonly<Record<string, string>>) =>
    startClient(site, { initializationOptions: { canStepThroughRuns: true } });
  expect(await offered(thatSteps)).toMatchObject([{ rule: "early-release", isHere: true }]);
});
