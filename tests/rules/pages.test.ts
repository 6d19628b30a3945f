import { existsSync, readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { catalogue } from "@limbwright/language";
import { describe, expect, test } from "vitest";
import { findingLines, markLines, marksOf, unsaid } from "../marked-text.ts";
import { checkExample, examplesOf } from "./page-examples.ts";

const RULES = join(import.meta.dirname, "../../language/rules");

test("every folder of the catalogue is a rule of its name", () => {
  const folders = readdirSync(RULES).filter((name) => existsSync(join(RULES, name, "rule.ts")));
  expect(catalogue.map((rule) => rule.id).sort()).toEqual(folders.sort());
});

describe.each(catalogue.map((rule) => [rule.id, rule] as const))("%s", (id, rule) => {
  const file = join(RULES, id, "page.md");
  const page = existsSync(file) ? readFileSync(file, "utf8") : "";
  const examples = examplesOf(page);

  test("has a page with its title, an example that breaks it and one that passes", () => {
    expect(page.startsWith(`# ${id}\n\n**${rule.title}.**\n`)).toBe(true);
    expect(page).toContain("## Why it matters");
    expect(examples.map(({ kind }) => kind)).toEqual(expect.arrayContaining(["breaks", "passes"]));
  });

  test("names a source for what it judges by, or says that it is common practice", () => {
    if (rule.group !== "text") expect(rule.sources).not.toEqual([]);
    for (const source of rule.sources) {
      const isCommonPractice = source.seen === "common practice, no source";
      expect(isCommonPractice || source.address !== undefined || source.seen === "from memory").toBe(true);
    }
  });

  test.each(examples.filter(({ kind }) => kind === "breaks").map((example) => [example]))(
    "is found exactly where its page marks it: %#",
    ({ text, before }) => {
      const { check, firstLine } = checkExample(text, { before, about: [id] });
      const marks = marksOf(text).map((mark) => ({ ...mark, line: mark.line + firstLine - 1 }));
      const findings = check.findings.filter(
        (finding) => finding.rule === id || finding.severity === "error",
      );
      expect(findingLines(findings)).toEqual(markLines(marks));
      expect(unsaid(marks, findings)).toEqual([]);
      expect(marks.some((mark) => mark.rule === id)).toBe(true);
    },
  );

  test.each(examples.filter(({ kind }) => kind === "passes").map((example) => [example]))(
    "is silent where its page says so: %#",
    ({ text, before }) => {
      const { check } = checkExample(text, { before, about: [id] });
      expect(
        findingLines(check.findings.filter(({ rule: of, severity }) => of === id || severity === "error")),
      ).toEqual([]);
      const asked = check.protocols.filter(({ notAsked }) => !notAsked.includes(id));
      const verdicts = asked.map(({ verdicts: all }) => all.find((one) => one.rule === id)?.kind);
      expect(verdicts.every((kind) => kind === "holds")).toBe(true);
      expect(asked.length > 0 || before !== undefined).toBe(true);
    },
  );
});
