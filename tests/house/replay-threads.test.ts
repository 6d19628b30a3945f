import { spawnSync } from "node:child_process";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, expect, onTestFinished, test } from "vitest";
import { madeRecord, ruleFileOf } from "../replay/replayed.ts";

const LIMB = join(import.meta.dirname, "../../server/bin/limb.cjs");

const RULES = mkdtempSync(join(tmpdir(), "limb-rules-"));

beforeAll(() => writeFileSync(join(RULES, "wrist.json"), ruleFileOf("wrist-reduction")));
afterAll(() => rmSync(RULES, { recursive: true }));

function replayed(from: string, threads: string) {
  const given = ["replay", from, "--protocol", join(RULES, "wrist.json"), "--threads", threads, "--json"];
  const run = { encoding: "utf8", maxBuffer: 1 << 26 } as const;
  const { stdout, stderr, status } = spawnSync(process.execPath, [LIMB, ...given], run);
  return { stdout, stderr, status };
}

function folderOf(files: Readonly<Record<string, string>>): string {
  const folder = mkdtempSync(join(tmpdir(), "limb-threads-"));
  onTestFinished(() => rmSync(folder, { recursive: true }));
  for (const [name, text] of Object.entries(files)) writeFileSync(join(folder, name), text);
  return folder;
}

test("several threads tell what one thread tells, in the same order", () => {
  const files: Record<string, string> = { "part-3b.csv": "no case record\n" };
  for (let file = 1; file <= 5; file += 1) {
    // The first file is the longest, so that others are through before it.
    const { header, rows } = madeRecord({ count: file === 1 ? 120 : 20, seed: file, json: file % 2 === 0 });
    files[`part-${file}.${header === "" ? "jsonl" : "csv"}`] = header + rows.join("");
  }
  const folder = folderOf(files);
  const alone = replayed(folder, "1");
  expect(JSON.parse(alone.stdout).summary.cases).toBe(200);
  expect(alone.status).toBe(2);
  expect(replayed(folder, "3")).toEqual(alone);
});

test("the cases of one record are judged by several threads as by one, in the same order", () => {
  const { header, rows } = madeRecord({ count: 900, seed: 9 });
  const spoilt = rows.map((row, index) => (index % 977 === 0 ? row.slice(0, -9) : row));
  const record = join(folderOf({ "all.csv": header + spoilt.join("") }), "all.csv");
  const alone = replayed(record, "1");
  expect(JSON.parse(alone.stdout).summary.cases).toBe(900);
  expect(replayed(record, "2")).toEqual(alone);
  expect(replayed(record, "4")).toEqual(alone);
});

test("a record that is none is said to be none by several threads, too", () => {
  const none = join(folderOf({ "none.csv": "no case record\n" }), "none.csv");
  const alone = replayed(none, "1");
  expect(alone).toMatchObject({ status: 2, stderr: expect.stringContaining("is no case record") });
  expect(replayed(none, "2")).toEqual(alone);
});
