import { expect, test } from "vitest";
import type {
  CallHierarchyItem,
  Location,
  SymbolInformation,
  WorkspaceEdit,
} from "vscode-languageserver-protocol";
import { type Client, serverForAll } from "./client.ts";
import { edited, marked, wordsIn } from "./cursor.ts";
import { FORMULARY, PROTOCOL, ROUTINES, SITE } from "./small-site.ts";

const startClient = serverForAll();

/** The small site with the protocol open, and the position of the mark in it. */
async function opened(change: (protocol: string) => string) {
  const { text, position, range } = marked(change(PROTOCOL));
  const client = await startClient(SITE);
  await client.open("wrist.limb", text);
  return { client, text, position, range };
}

function fileOf(client: Client, { uri }: { uri: string }): string {
  return uri.slice(client.uriOf("").replace(/\/?$/, "/").length);
}

test.each([
  ["of ligno<|>caine {", "of lignocaine {", "formulary.limb", FORMULARY, "lidocaine"],
  ["inject <|>local", "inject local", "wrist.limb", PROTOCOL, "local"],
  ["do staged-<|>release", "do staged-release", "routines.limb", ROUTINES, "staged-release"],
  ["confirm upp<|>er", "confirm upper", "wrist.limb", PROTOCOL, "upper"],
])("a name leads to where it is declared: %s", async (now, before, file, text, words) => {
  const { client, position } = await opened((protocol) => protocol.replace(before, now));
  const location = await client.request<Location>("textDocument/definition", "wrist.limb", { position });
  expect(fileOf(client, location)).toBe(file);
  expect(wordsIn(text, location.range)).toBe(words);
});

test("a `use` leads to its file, and is a link", async () => {
  const { client, position } = await opened((text) => text.replace("formulary.limb", "form<|>ulary.limb"));
  const location = await client.request<Location>("textDocument/definition", "wrist.limb", { position });
  expect(fileOf(client, location)).toBe("formulary.limb");
  const links = await client.request<{ target: string }[]>("textDocument/documentLink", "wrist.limb");
  expect(links.map(({ target }) => fileOf(client, { uri: target }))).toEqual([
    "formulary.limb",
    "routines.limb",
  ]);
});

test("in broken text a name still leads to where it is declared", async () => {
  const { client, position } = await opened((text) =>
    text.replace("confirm upper", "inject\n    prod firmly\n    confirm up<|>per {"),
  );
  const location = await client.request<Location>("textDocument/definition", "wrist.limb", { position });
  expect(wordsIn(PROTOCOL, location.range)).toBe("upper");
});

test("references are found in every file, in either spelling", async () => {
  const { client, text, position } = await opened((protocol) => protocol.replace("of lign", "of <|>lign"));
  const all = await client.request<Location[]>("textDocument/references", "wrist.limb", {
    position,
    context: { includeDeclaration: true },
  });
  const texts = { "formulary.limb": FORMULARY, "wrist.limb": text } as Record<string, string>;
  const words = all.map((one) => [fileOf(client, one), wordsIn(texts[fileOf(client, one)] ?? "", one.range)]);
  expect(words).toEqual([
    ["formulary.limb", "lidocaine"],
    ["wrist.limb", "lignocaine"],
  ]);
});

test("the uses of a name in its file are highlighted", async () => {
  const { client, text, position } = await opened((protocol) =>
    protocol.replace("inflate up", "inflate <|>up"),
  );
  const found = await client.request<Location[]>("textDocument/documentHighlight", "wrist.limb", {
    position,
  });
  expect(found.map(({ range }) => wordsIn(text, range))).toEqual(["upper", "upper", "upper"]);
});

test("a rename changes every use in every file", async () => {
  const { client, text, position } = await opened((protocol) =>
    protocol.replace("do staged", "do <|>staged"),
  );
  const { changes } = await client.request<WorkspaceEdit>("textDocument/rename", "wrist.limb", {
    position,
    newName: "slow-release",
  });
  expect(edited(text, changes?.[client.uriOf("wrist.limb")] ?? [])).toBe(
    text.replace("do staged-release", "do slow-release"),
  );
  expect(edited(ROUTINES, changes?.[client.uriOf("routines.limb")] ?? [])).toBe(
    ROUTINES.replace("routine staged-release", "routine slow-release"),
  );
});

test.each([
  ["a word of the language", "inflate", (text: string) => text, /word of the language/],
  ["no name", "Two Words", (text: string) => text, /cannot be a name/],
  ["a name that is taken", "lower", (text: string) => text, /would have an error/],
  [
    "a name that also stands where the text is not understood",
    "higher",
    (text: string) => text.replace("inject local", "inject local\n    prod upper gently"),
    /not understood/,
  ],
])("a rename to %s is refused with the reason", async (_, newName, change, reason) => {
  const { client, position } = await opened((text) => change(text).replace("inflate up", "inflate <|>up"));
  const renamed = client.request("textDocument/rename", "wrist.limb", { position, newName });
  await expect(renamed).rejects.toThrow(reason);
});

test("anything that is declared is found by letters of its name", async () => {
  const { client } = await opened((text) => `${text}<|>`);
  await client.settled();
  const found: SymbolInformation[] = await client.connection.sendRequest("workspace/symbol", {
    query: "lstd",
  });
  expect(found.map(({ name, containerName }) => [name, containerName])).toEqual([
    ["last-deflation", "routines.limb"],
  ]);
});

test("a routine knows who does it, and what it does in turn", async () => {
  const { client, position } = await opened((text) => text.replace("do staged", "do <|>staged"));
  const [item] = await client.request<CallHierarchyItem[]>(
    "textDocument/prepareCallHierarchy",
    "wrist.limb",
    { position },
  );
  const incoming: { from: CallHierarchyItem }[] = await client.connection.sendRequest(
    "callHierarchy/incomingCalls",
    { item },
  );
  const outgoing: { to: CallHierarchyItem }[] = await client.connection.sendRequest(
    "callHierarchy/outgoingCalls",
    { item },
  );
  expect(incoming.map(({ from }) => from.name)).toEqual(["wrist"]);
  expect(outgoing.map(({ to }) => to.name)).toEqual(["last-deflation"]);
});

test("when a file is renamed, every `use` of it follows", async () => {
  const { client, text } = await opened((protocol) => `${protocol}<|>`);
  await client.settled();
  const files = [{ oldUri: client.uriOf("formulary.limb"), newUri: client.uriOf("shared/drugs.limb") }];
  const edit: WorkspaceEdit = await client.connection.sendRequest("workspace/willRenameFiles", { files });
  expect(edited(text, edit.changes?.[client.uriOf("wrist.limb")] ?? [])).toBe(
    text.replace("formulary.limb", "shared/drugs.limb"),
  );
});
