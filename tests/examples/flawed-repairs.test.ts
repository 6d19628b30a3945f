import { checkFiles, type FileCheck, Site } from "@limbwright/language";
import type { Finding } from "@limbwright/shared/finding";
import { describe, expect, test } from "vitest";
import { count, newlyBroken, withRepair } from "../rules/mended.ts";
import { checkSite, filesIn, textOf } from "./site.ts";

const FLAWED = filesIn("flawed");
const CHECKS = checkSite(FLAWED).filter(({ file }) => FLAWED.includes(file));
const FILES = new Map([...filesIn("."), ...FLAWED].map((file) => [file, textOf(file) ?? ""]));

function checkAgain(file: string, files: ReadonlyMap<string, string>): FileCheck {
  const checks = [...checkFiles(new Site((name) => files.get(name)), [file], { on: "2026-11-25" })];
  const check = checks.find((one) => one.file === file);
  if (!check) throw new Error(`${file} was not checked`);
  return check;
}

describe("each repair of a flawed draft mends what was found, and nothing as bad is found instead", () => {
  test.each(FLAWED.map((file) => [file]))("%s", (file) => {
    const before = CHECKS.find((check) => check.file === file);
    if (!before) throw new Error(`${file} was not checked`);
    for (const finding of before.findings) {
      for (const repair of finding.repairs) {
        const files = withRepair(FILES, repair);
        const after = checkAgain(file, files);
        const words = `${repair.title}\n${files.get(file)}`;
        expect(count(after, finding.rule), words).toBeLessThan(count(before, finding.rule));
        expect(newlyBroken(before, after, finding), words).toEqual([]);
      }
    }
  });
});

test("the findings of the flawed drafts that nobody can mend at a key", () => {
  const findings = CHECKS.flatMap((check) => check.findings);
  const without = findings.filter(({ repairs }) => repairs.length === 0);
  const named = ({ origin, rule }: Finding) => `${origin.file.replace("flawed/", "")} ${rule}`;
  expect(without.map(named)).toMatchInlineSnapshot(`
    [
      "out-of-date.limb use-leaves-workspace",
      "out-of-date.limb name-unknown",
      "small-rescue.limb syringe-too-coarse",
      "template-in-review.limb template-text-left",
      "unsafe-numbers.limb unit-mismatch",
      "wrong-drug.limb agent-not-for-ivra",
      "wrong-drug.limb concentration-not-usual",
      "wrong-drug.limb volume-not-usual-for-limb",
    ]
  `);
});
