import { spawnSync } from "node:child_process";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { expect, onTestFinished, test } from "vitest";
import { madeRecord, ruleFileOf } from "../replay/replayed.ts";

const LIMB = join(import.meta.dirname, "../../server/bin/limb.cjs");

test("several threads tell what one thread tells, in the same order", () => {
  const folder = mkdtempSync(join(tmpdir(), "limb-threads-"));
  onTestFinished(() => rmSync(folder, { recursive: true }));
  for (let file = 1; file <= 5; file += 1) {
    // The first file is the longest, so that others are through before it.
    const { header, rows } = madeRecord({ count: file === 1 ? 120 : 20, seed: file, json: file % 2 === 0 });
    writeFileSync(join(folder, `part-${file}.${header === "" ? "jsonl" : "csv"}`), header + rows.join(""));
  }
  writeFileSync(join(folder, "part-3b.csv"), "no case record\n");
  const rules = mkdtempSync(join(tmpdir(), "limb-rules-"));
  onTestFinished(() => rmSync(rules, { recursive: true }));
  writeFileSync(join(rules, "wrist.json"), ruleFileOf("wrist-reduction"));
  const replayed = (threads: string) => {
    const given = ["replay", folder, "--protocol", join(rules, "wrist.json"), "--threads", threads, "--json"];
    const run = { encoding: "utf8", maxBuffer: 1 << 26 } as const;
    const { stdout, stderr, status } = spawnSync(process.execPath, [LIMB, ...given], run);
    return { stdout, stderr, status };
  };
  const alone = replayed("1");
  expect(JSON.parse(alone.stdout).summary.cases).toBe(200);
  expect(alone.status).toBe(2);
  expect(replayed("3")).toEqual(alone);
});
