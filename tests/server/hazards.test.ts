import { hazardLog } from "@limbwright/language";
import { expect, test } from "vitest";
import { cleanProtocol, FORMULARY, overdosingProtocol, replaced } from "./protocols.ts";
import { folderWith, runLimb } from "./run-limb.ts";

function run(protocol: string, ...options: string[]) {
  const folder = folderWith({ "formulary.limb": FORMULARY, "wrist.limb": protocol });
  return runLimb(folder, ["hazards", "wrist.limb", ...options]);
}

test("the log of the catalogue is printed as text, JSON and Markdown, with every hazard and every guard", async () => {
  const folder = folderWith({});
  const text = await runLimb(folder, ["hazards"]);
  const markdown = await runLimb(folder, ["hazards", "--markdown"]);
  const json = await runLimb(folder, ["hazards", "--json"]);
  for (const { title, guards } of hazardLog.hazards) {
    expect(text.out).toContain(`\n${title}\n`);
    expect(markdown.out).toContain(`\n## ${title.replace(/-/g, "\\-")}\n`);
    for (const { rule } of guards) {
      expect(text.out).toContain(`\`${rule}\``);
      expect(markdown.out).toContain(`\`${rule}\``);
    }
  }
  expect(JSON.parse(json.out).hazards).toEqual(hazardLog.hazards);
  expect(text.out.split("\n").filter((line) => line.length > 100)).toEqual([]);
  expect([text.code, markdown.code, json.code]).toEqual([0, 0, 0]);
});

test("where every guard holds, the log of a protocol says so, and still what is left to people", async () => {
  const { code, out } = await run(cleanProtocol());
  expect(out).toContain("no guard that is asked is broken or not decided");
  expect(out).toContain("Nothing guards against");
  expect(out).toContain('task "Reduce and splint"');
  expect(code).toBe(0);
});

test("a broken guard stands under its hazard with its place, and the exit code says so", async () => {
  const { code, out } = await run(overdosingProtocol());
  expect(out).toContain("a guard is broken against 1");
  expect(out.replace(/\s+/g, " ")).toContain("Broken: `dose-over-maximum` (unsafe, wrist.limb:31:12)");
  expect(code).toBe(1);
});

test("what is not decided is no pass: where no usual volume is published, and where a text was not understood", async () => {
  const ankle = await run(replaced(cleanProtocol(), "on upper-arm", "on ankle"));
  expect(ankle.out).toContain("a guard is not decided, which is not a pass, against");
  expect(ankle.out).not.toContain("  Broken: ");
  expect(ankle.code).toBe(3);
  const unread = await run(replaced(cleanProtocol(), "amount 3 mg/kg up to 200 mg", "amount about 3 mg/kg"));
  expect(unread.out).toContain("Broken: `text-not-understood` (error, wrist.limb:31:12)");
  expect(unread.out).not.toContain("  Holds: ");
  expect(unread.code).toBe(1);
});

test("the log of a protocol is printed as Markdown and JSON, too; both at once are refused", async () => {
  const markdown = await run(overdosingProtocol(), "--markdown");
  expect(markdown.out.startsWith("# Hazard log of `wrist`\n")).toBe(true);
  const json = JSON.parse((await run(overdosingProtocol(), "--json")).out);
  const overdose = json.hazards.find(({ id }: { id: string }) => id === "overdose");
  const guard = overdose.guards.find(({ rule }: { rule: string }) => rule === "dose-over-maximum");
  expect(guard.here.is).toBe("broken");
  expect(json.protocol).toBe("wrist");
  expect((await run(cleanProtocol(), "--json", "--markdown")).code).toBe(2);
});
