import { mkdirSync, renameSync, rmSync, symlinkSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { expect, test } from "vitest";
import { type Client, serverForAll } from "./client.ts";
import { FORMULARY, PROTOCOL, SITE } from "./small-site.ts";

const withWatchingClient = serverForAll({
  capabilities: { workspace: { didChangeWatchedFiles: { dynamicRegistration: true } } },
});
const withPlainClient = serverForAll();

function rules(client: Client, file: string): string[] {
  return (client.diagnostics.get(client.uriOf(file)) ?? []).map(({ code }) => `${code}`);
}

/** Tells the server, as a client that watches files does, that one was created (1), changed (2) or deleted (3). */
async function tell(client: Client, file: string, type: 1 | 2 | 3): Promise<void> {
  await client.connection.sendNotification("workspace/didChangeWatchedFiles", {
    changes: [{ uri: client.uriOf(file), type }],
  });
}

test("files that are not open are checked too", async () => {
  const client = await withWatchingClient(SITE);
  await client.settled();
  expect(rules(client, "wrist.limb")).toContain("statement-missing");
});

test("a file changed outside the editor is checked again, and with it all that use it", async () => {
  const client = await withWatchingClient(SITE);
  await client.settled();
  expect(rules(client, "wrist.limb")).not.toContain("name-unknown");
  writeFileSync(join(client.folder, "formulary.limb"), FORMULARY.replace("lidocaine", "prilocaine"));
  await tell(client, "formulary.limb", 2);
  await client.settled();
  expect(rules(client, "wrist.limb")).toContain("name-unknown");
});

test("with a deleted file its diagnostics vanish, and its users say that it is missing", async () => {
  const broken = { ...SITE, "formulary.limb": FORMULARY.replace("0.5 %", "0.50 %") };
  const client = await withWatchingClient(broken);
  await client.settled();
  expect(rules(client, "formulary.limb")).toContain("trailing-zero");
  rmSync(join(client.folder, "formulary.limb"));
  await tell(client, "formulary.limb", 3);
  await client.settled();
  expect(rules(client, "formulary.limb")).toEqual([]);
  expect(rules(client, "wrist.limb")).toContain("use-not-found");
});

test("a renamed file takes its diagnostics with it", async () => {
  const client = await withWatchingClient(SITE);
  await client.settled();
  renameSync(join(client.folder, "wrist.limb"), join(client.folder, "arm.limb"));
  await client.connection.sendNotification("workspace/didChangeWatchedFiles", {
    changes: [
      { uri: client.uriOf("wrist.limb"), type: 3 },
      { uri: client.uriOf("arm.limb"), type: 1 },
    ],
  });
  await client.settled();
  expect(rules(client, "wrist.limb")).toEqual([]);
  expect(rules(client, "arm.limb")).toContain("statement-missing");
});

test("for a client that does not watch files the server does", async () => {
  const client = await withPlainClient(SITE);
  await client.settled();
  writeFileSync(join(client.folder, "formulary.limb"), FORMULARY.replace("lidocaine", "prilocaine"));
  await expect.poll(() => rules(client, "wrist.limb"), { timeout: 5000 }).toContain("name-unknown");
});

test("what the editor shows goes before what is on the disk, until it is closed", async () => {
  const client = await withWatchingClient(SITE);
  await client.open("formulary.limb", FORMULARY.replace("lidocaine", "prilocaine"));
  await client.settled();
  expect(rules(client, "wrist.limb")).toContain("name-unknown");
  await client.connection.sendNotification("textDocument/didClose", {
    textDocument: { uri: client.uriOf("formulary.limb") },
  });
  await client.settled();
  expect(rules(client, "wrist.limb")).not.toContain("name-unknown");
});

test("each folder of a workspace knows its own files alone, and `use` never leaves it", async () => {
  const client = await withWatchingClient(
    {
      "one/formulary.limb": FORMULARY,
      "two/wrist.limb": PROTOCOL.replace("formulary.limb", "../one/formulary.limb"),
    },
    { roots: ["one", "two"] },
  );
  await client.settled();
  expect(rules(client, "two/wrist.limb")).toContain("use-leaves-workspace");
  await client.connection.sendNotification("workspace/didChangeWorkspaceFolders", {
    event: { added: [], removed: [{ uri: client.uriOf("two"), name: "two" }] },
  });
  await client.settled();
  expect(rules(client, "two/wrist.limb")).toEqual([]);
});

test("a link that leads out of the workspace is not followed", async () => {
  const client = await withWatchingClient(
    { "outside/formulary.limb": FORMULARY, "inside/wrist.limb": PROTOCOL },
    { roots: ["inside"] },
  );
  await client.settled();
  mkdirSync(join(client.folder, "inside"), { recursive: true });
  symlinkSync(join(client.folder, "outside/formulary.limb"), join(client.folder, "inside/formulary.limb"));
  await tell(client, "inside/formulary.limb", 1);
  await client.settled();
  expect(rules(client, "inside/wrist.limb")).toContain("name-unknown");
  const [trouble] = client.diagnostics.get(client.uriOf("inside/formulary.limb")) ?? [];
  expect(trouble?.message).toContain("leads out of the workspace");
});

test("a file that lies in no folder of the workspace can use what stands beside it", async () => {
  const client = await withPlainClient({ ...SITE, "elsewhere/other.limb": "" }, { roots: ["elsewhere"] });
  await client.open("wrist.limb", PROTOCOL);
  await client.settled();
  expect(rules(client, "wrist.limb")).toContain("statement-missing");
  expect(rules(client, "wrist.limb")).not.toContain("use-not-found");
});
