import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { TRUST_GRANTED } from "@limbwright/shared/editor";
import { expect, test, vi } from "vitest";
import type { CodeAction } from "vscode-languageserver-protocol/node";
import { GitRepository } from "../git-repository.ts";
import { cleanProtocol, FORMULARY, replaced } from "../protocols.ts";
import { type Client, serverForAll, startClient } from "./client.ts";

const inReview = (text: string) => replaced(text, "status    draft", "status    in-review");
const looser = (text: string) => replaced(text, "3 mg/kg up to 200 mg", "3.5 mg/kg up to 200 mg");
const raised = (text: string) => replaced(text, "version   0.1.0", "version   1.0.0");
const REVIEWED = inReview(cleanProtocol());
const FILES = {
  "formulary.limb": FORMULARY,
  "wrist.limb": REVIEWED,
  "hand.limb": inReview(cleanProtocol("hand")),
};

const sharedClient = serverForAll();
const clientIn = ({ folder }: GitRepository, roots?: readonly string[]) =>
  sharedClient({}, { folder, ...(roots && { roots }) });

const found = (client: Client, file: string) =>
  client.found(file).filter((line) => line.endsWith(" version-not-raised"));

/** What comes by itself some time after Git has written. */
const soon = (look: () => void) => vi.waitFor(look, { timeout: 20_000, interval: 50 });

test("a change is found under the same version, and no more once the version is raised as the repair says", async () => {
  const client = await clientIn(new GitRepository(FILES));
  await client.open("wrist.limb", REVIEWED);
  await client.settled();
  expect(found(client, "wrist.limb")).toEqual([]);
  await client.change("wrist.limb", { text: looser(REVIEWED) });
  await client.settled();
  expect(found(client, "wrist.limb")).toHaveLength(1);
  const [diagnostic] = (client.diagnostics.get(client.uriOf("wrist.limb")) ?? []).filter(
    ({ code }) => code === "version-not-raised",
  );
  expect(diagnostic?.message).toContain("changes what the last commit says as 0.1.0: 1 looser.");
  const actions = await client.request<CodeAction[]>("textDocument/codeAction", "wrist.limb", {
    range: diagnostic?.range,
    context: { diagnostics: [] },
  });
  expect(actions.map(({ title }) => title).join()).toContain("Write version 1.0.0");
  await client.change("wrist.limb", { text: raised(looser(REVIEWED)) });
  await client.settled();
  expect(client.found("wrist.limb")).toEqual([]);
});

test("it is found in files that are not open, too, and follows what is committed and reset", async () => {
  const repository = new GitRepository(FILES).write({ "wrist.limb": looser(REVIEWED) });
  const client = await clientIn(repository);
  await client.settled();
  expect(found(client, "wrist.limb")).toHaveLength(1);
  expect(found(client, "hand.limb")).toEqual([]);
  repository.commit("looser");
  await soon(() => expect(client.found("wrist.limb")).toEqual([]));
  repository.git("reset", "--quiet", "--soft", "HEAD~1");
  await soon(() => expect(found(client, "wrist.limb")).toHaveLength(1));
});

test("what only the formulary changes is found in every protocol that uses it", async () => {
  const client = await clientIn(new GitRepository(FILES));
  await client.open(
    "formulary.limb",
    replaced(FORMULARY, "maximum       4 mg/kg", "maximum       4.5 mg/kg"),
  );
  await client.settled();
  expect(found(client, "wrist.limb")).toHaveLength(1);
  expect(found(client, "hand.limb")).toHaveLength(1);
});

test("nothing is compared in a folder that the editor does not trust, until it does", async () => {
  const repository = new GitRepository(FILES).write({ "wrist.limb": looser(REVIEWED) });
  const client = await startClient(
    {},
    { folder: repository.folder, initializationOptions: { isTrusted: false } },
  );
  await client.settled();
  expect(client.found("wrist.limb")).toEqual([]);
  await client.connection.sendNotification(TRUST_GRANTED);
  await client.settled();
  expect(found(client, "wrist.limb")).toHaveLength(1);
});

test("without a repository or a commit nothing is compared, and the first commit is", async () => {
  const alone = await sharedClient(FILES);
  await alone.settled();
  expect(alone.found("wrist.limb")).toEqual([]);
  const repository = new GitRepository(FILES);
  repository.git("update-ref", "-d", "HEAD");
  const client = await clientIn(repository);
  await client.settled();
  expect(client.found("wrist.limb")).toEqual([]);
  repository.commit("the first again").write({ "wrist.limb": looser(REVIEWED) });
  await client.open("wrist.limb", looser(REVIEWED));
  await soon(() => expect(found(client, "wrist.limb")).toHaveLength(1));
});

test("a folder below the top of the repository is compared by its own paths", async () => {
  const repository = new GitRepository({ "ward/formulary.limb": FORMULARY, "ward/wrist.limb": REVIEWED });
  // Renamed, so that it is known by its path alone.
  repository.write({ "ward/wrist.limb": looser(inReview(cleanProtocol("forearm"))) });
  const client = await clientIn(repository, ["ward"]);
  await client.settled();
  expect(found(client, "ward/wrist.limb")).toHaveLength(1);
});

test("where Git does not give the last commit it is not decided, until it does", async () => {
  const repository = new GitRepository(FILES).write({ "wrist.limb": looser(REVIEWED) });
  const head = join(repository.folder, ".git/HEAD");
  repository.git("checkout", "--quiet", "--detach");
  const sound = readFileSync(head, "utf8");
  writeFileSync(head, `${"1".repeat(40)}\n`);
  const client = await clientIn(repository);
  await client.open("wrist.limb", looser(REVIEWED));
  await client.settled();
  expect(found(client, "wrist.limb")).toEqual([]);
  const [state] = client.states.at(-1)?.protocols ?? [];
  expect(state).toMatchObject({ words: "1 not decided", alarm: "warning" });
  writeFileSync(head, sound);
  await soon(() => expect(found(client, "wrist.limb")).toHaveLength(1));
});
