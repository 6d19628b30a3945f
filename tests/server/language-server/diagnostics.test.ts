import { expect, test } from "vitest";
import { filesIn, textOf } from "../../examples/site.ts";
import { runLimb } from "../run-limb.ts";
import { serverForAll } from "./client.ts";

const startClient = serverForAll();

const SHARED = Object.fromEntries(filesIn(".").map((file) => [file, textOf(file) ?? ""]));
const WRIST = textOf("protocols/wrist-reduction.limb") ?? "";
const FLAWED = textOf("flawed/swap-the-wrong-way.limb") ?? "";

test("what is typed is checked at once, and what its runs do a moment later", async () => {
  const client = await startClient(SHARED);
  await client.open("flawed/swap.limb", FLAWED);
  await client.settled();
  expect(client.found("flawed/swap.limb").some((line) => line.endsWith("no-cuff-up"))).toBe(true);
  const [first] = client.diagnostics.get(client.uriOf("flawed/swap.limb")) ?? [];
  expect(first?.relatedInformation?.length).toBeGreaterThan(2);
});

test("the editor finds what the command line finds", async () => {
  const client = await startClient({ ...SHARED, "flawed/swap.limb": FLAWED, "protocols/wrist.limb": WRIST });
  await client.settled();
  const today = new Date().toLocaleDateString("sv");
  const { out } = await runLimb(client.folder, ["check", "--json", "--on", today]);
  const expected = JSON.parse(out).files.flatMap((file: { findings: { rule: string }[] }) =>
    file.findings.map(({ rule }) => rule),
  );
  const found = [...client.diagnostics.values()].flat().map(({ code }) => code);
  expect(found.sort()).toEqual(expected.sort());
  expect(found.length).toBeGreaterThan(0);
});
