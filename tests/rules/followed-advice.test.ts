import { readFileSync } from "node:fs";
import { join } from "node:path";
import { catalogue, checkFiles, type FileCheck, Site } from "@limbwright/language";
import { describe, expect, test } from "vitest";
import { checkSite, filesIn, textOf } from "../examples/site.ts";
import { followed } from "./followed.ts";
import { count } from "./mended.ts";
import { checkLaid, examplesOf, laidOver } from "./page-examples.ts";

// Whoever does, word for word, what a finding says to do next is rid of it.

const RULES = join(import.meta.dirname, "../../language/rules");

/** The advice that was followed, so that silence is not taken for good advice. */
const tried = new Set<string>();

describe("on the pages of the rules", () => {
  test.each(catalogue.map(({ id }) => [id] as const))("%s", (id) => {
    const examples = examplesOf(readFileSync(join(RULES, id, "page.md"), "utf8"));
    for (const { text, before } of examples.filter(({ kind }) => kind === "breaks")) {
      const laid = laidOver(text, before);
      const found = checkLaid(laid, [id]);
      for (const finding of found.findings.filter(({ rule }) => rule === id)) {
        const files = followed(finding, laid.files);
        if (!files) continue;
        tried.add(`${id}: ${finding.next}`);
        const after = checkLaid({ ...laid, files }, [id]);
        expect(count(after, id), `${finding.next}\n${text}`).toBeLessThan(count(found, id));
        expect(errorsIn(after, id), `${finding.next}\n${text}`).toEqual(errorsIn(found, id));
      }
    }
  });
});

describe("in the flawed drafts", () => {
  const FLAWED = filesIn("flawed");
  const checks = checkSite(FLAWED).filter(({ file }) => FLAWED.includes(file));
  const files = new Map([...filesIn("."), ...FLAWED].map((file) => [file, textOf(file) ?? ""]));

  test.each(FLAWED)("%s", (file) => {
    const before = checks.find((check) => check.file === file);
    if (!before) throw new Error(`${file} was not checked`);
    for (const finding of before.findings) {
      const after = followed(finding, files);
      if (!after) continue;
      tried.add(`${finding.rule}: ${finding.next}`);
      const again = [...checkFiles(new Site((name) => after.get(name)), [file], { on: "2026-11-25" })];
      const check = again.find((one) => one.file === file);
      expect(check && count(check, finding.rule), finding.next).toBeLessThan(count(before, finding.rule));
    }
  });
});

test("much of the advice is such that it can be followed so", () => {
  expect(tried.size).toBeGreaterThan(40);
});

function errorsIn({ findings }: FileCheck, id: string): string[] {
  return findings.filter(({ rule, severity }) => severity === "error" && rule !== id).map(({ rule }) => rule);
}
