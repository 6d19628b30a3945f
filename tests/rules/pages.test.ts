import { existsSync, readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { catalogue } from "@limbwright/language";
import { pageOf } from "@limbwright/language/rule-pages";
import { describe, expect, test } from "vitest";
import { SOURCES } from "../../language/rules/generated/sources.ts";
import { citationsText, type Source, type SourceId } from "../../language/rules/sources/sources.ts";
import { findingLines, markLines, marksOf, unsaid } from "../marked-text.ts";
import { checkExample, examplesOf } from "./page-examples.ts";

const RULES = join(import.meta.dirname, "../../language/rules");

test("every source says how far it was read, and what was read says where", () => {
  for (const [id, { title, seen, address }] of Object.entries<Source>(SOURCES)) {
    const isRead = seen === "passage read" || seen === "abstract read";
    expect({ id, title: title !== "", where: !isRead || address !== undefined }).toEqual({
      id,
      title: true,
      where: true,
    });
  }
});

test("no source is listed that no rule names, and none twice", () => {
  const named = new Set(catalogue.flatMap(({ sources }) => sources.map(({ source }) => source)));
  expect(Object.keys(SOURCES).filter((id) => !named.has(id as SourceId))).toEqual([]);
  const titles = Object.values<Source>(SOURCES).map(({ title }) => title);
  expect(titles).toEqual([...new Set(titles)]);
});

test("the standard of a parameter comes from a source that its rule names", () => {
  for (const { id, parameters, sources } of catalogue) {
    const named = sources.map(({ source }) => source);
    const others = parameters.filter(({ source }) => source !== undefined && !named.includes(source));
    expect({ id, others }).toEqual({ id, others: [] });
  }
});

test("every folder with a page is a rule of its name", () => {
  const folders = readdirSync(RULES).filter((name) => existsSync(join(RULES, name, "page.md")));
  expect(catalogue.map((rule) => rule.id).sort()).toEqual(folders.sort());
});

describe.each(catalogue.map((rule) => [rule.id, rule] as const))("%s", (id, rule) => {
  const page = readFileSync(join(RULES, id, "page.md"), "utf8");
  const examples = examplesOf(page);

  test("has a page that says why it matters and what it does not see, with an example that breaks it and one that passes", () => {
    expect(page).toContain("\n---\n\n## Why it matters\n");
    expect(page).toContain("\n## What it does not see\n");
    expect(examples.map(({ kind }) => kind)).toEqual(expect.arrayContaining(["breaks", "passes"]));
  });

  test("names a source for what it judges by, or says that it is common practice", () => {
    if (rule.group !== "text") expect(rule.sources).not.toEqual([]);
    for (const { says } of rule.sources) expect(says).not.toBe("");
  });

  test("has its title, every parameter and all that its sources say on the printed page, each once", () => {
    const printed = pageOf(rule);
    expect(printed.startsWith(`# ${id}\n\n**${rule.title}.**\n\n## Why it matters\n`)).toBe(true);
    const listed = rule.sources.map((citation) => citationsText([citation]).split("\n").at(-1) ?? "");
    const names = rule.parameters.map(({ name }) => `\n| \`${name}\` | `);
    for (const text of [...listed, ...names]) expect(printed.split(text)).toHaveLength(2);
    expect(printed.match(/^## Sources$/gm) ?? []).toHaveLength(rule.sources.length > 0 ? 1 : 0);
    expect(printed.match(/^## Parameters$/gm) ?? []).toHaveLength(
      names.length > 0 || page.includes("\n## Parameters\n") ? 1 : 0,
    );
  });

  test("names no address on its own page: the list of sources has it", () => {
    expect(page.match(/https?:\/\/\S+/g) ?? []).toEqual([]);
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
