import { spawnSync } from "node:child_process";
import { existsSync, mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, symlinkSync } from "node:fs";
import { join } from "node:path";
import type { AnyRule } from "@limbwright/language";
import ts from "typescript";
import { afterAll, beforeAll, expect, test } from "vitest";
import { readRulePage } from "../../.development/steps/rule-page.mjs";
import { examplesOf } from "../rules/page-examples.ts";

const ROOT = join(import.meta.dirname, "../..");
const LANGUAGE = join(ROOT, "language");
const RULES = join(LANGUAGE, "rules");
let copy = "";
let folder = "";

/** A copy of the language, by links, in which a rule can be started without changing the catalogue. */
beforeAll(() => {
  mkdirSync(join(ROOT, ".cache"), { recursive: true });
  copy = mkdtempSync(join(ROOT, ".cache/new-rule-"));
  folder = join(copy, "rules");
  mkdirSync(folder);
  linkAll(LANGUAGE, copy, "rules");
  linkAll(RULES, folder);
});

afterAll(() => {
  rmSync(copy, { recursive: true });
});

function linkAll(from: string, to: string, except?: string) {
  for (const name of readdirSync(from).filter((one) => one !== except)) {
    symlinkSync(join(from, name), join(to, name));
  }
}

function newRule(...words: string[]) {
  const script = join(ROOT, ".development/new-rule.mjs");
  return spawnSync(process.execPath, [script, "--folder", folder, ...words], { encoding: "utf8" });
}

function pageOfNew(id: string) {
  return readRulePage(id, readFileSync(join(folder, id, "page.md"), "utf8"), {
    sources: {},
    shared: {},
    hazards: [],
  });
}

test("a new rule is a rule of its name and group, type-checks, and has a page with both examples", () => {
  expect(newRule("cuff-too-narrow", "cuff").status).toBe(0);

  const { stated, page } = pageOfNew("cuff-too-narrow");
  expect(stated).toMatchObject({ id: "cuff-too-narrow", group: "cuff" });
  expect(page.startsWith("## Why it matters\n")).toBe(true);
  expect(examplesOf(page).map(({ kind }) => kind)).toEqual(["breaks", "passes"]);
  expect(typeProblems(join(folder, "cuff-too-narrow/rule.ts"))).toEqual([]);
});

test("a new rule names no source and finds nothing, so the tests of the catalogue fail until it is written", async () => {
  expect(newRule("dose-not-round", "dose").status).toBe(0);
  expect(pageOfNew("dose-not-round").stated.sources).toEqual([]);
  const { rule } = (await import(join(folder, "dose-not-round/rule.ts"))) as { rule: Pick<AnyRule, "judge"> };
  expect(rule.judge?.({} as Parameters<NonNullable<AnyRule["judge"]>>[0]).found).toEqual([]);
});

test("the name of an existing rule is refused, and the rule stays as it is", () => {
  const before = readFileSync(join(RULES, "dose-over-maximum/rule.ts"), "utf8");
  const { status, stderr } = newRule("dose-over-maximum", "dose");
  expect(status).toBe(2);
  expect(stderr).toContain("There is a rule dose-over-maximum already");
  expect(readFileSync(join(RULES, "dose-over-maximum/rule.ts"), "utf8")).toBe(before);
});

test.each(["DoseTooHigh", "dose", "dose_too_high", "../escape", "dose--high", "-dose", ""])(
  "%j is no name for a rule, and nothing is written",
  (name) => {
    const before = readdirSync(folder);
    const { status, stderr } = newRule("--", name, "dose");
    expect(status).toBe(2);
    expect(stderr).toContain("is no name for a rule");
    expect(readdirSync(folder)).toEqual(before);
  },
);

test("a group that the catalogue does not have is refused with the list of those it has", () => {
  const { status, stderr } = newRule("cuff-too-wide", "cuffs");
  expect(status).toBe(2);
  expect(stderr).toContain("text, numbers, dose, cuff, time, readiness, governance");
  expect(existsSync(join(folder, "cuff-too-wide"))).toBe(false);
});

function typeProblems(file: string): string[] {
  const { config } = ts.readConfigFile(join(ROOT, "tsconfig.json"), ts.sys.readFile);
  const { options } = ts.convertCompilerOptionsFromJson(config.compilerOptions, ROOT);
  const program = ts.createProgram([file], options);
  // What it imports is checked by `npm run types`.
  return ts
    .getPreEmitDiagnostics(program, program.getSourceFile(file))
    .map(({ messageText }) => ts.flattenDiagnosticMessageText(messageText, "\n"));
}
