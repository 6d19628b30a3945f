import { readFileSync } from "node:fs";
import { join } from "node:path";
import { catalogue, checkFiles, earlierVersions, type FileCheck, Site } from "@limbwright/language";

/** A block of a rule's page: what breaks the rule, or what passes it. */
export interface PageExample {
  readonly kind: "breaks" | "passes";
  readonly text: string;
  /** What the same said in an earlier version, where the page shows it before the example. */
  readonly before?: string;
}

/** Where a protocol of the example itself stands. */
const EXAMPLE = "example.limb";

const BLOCK = /^```limb (before|breaks|passes)(?:[^\n]*)\n([\s\S]*?)^```$/gm;

export function examplesOf(page: string): PageExample[] {
  let before: string | undefined;
  return [...page.matchAll(BLOCK)].flatMap(([, kind, text = ""]) => {
    if (kind === "before") {
      before = text;
      return [];
    }
    const example = { kind: kind as PageExample["kind"], text, ...(before !== undefined && { before }) };
    before = undefined;
    return [example];
  });
}

const BASE = join(import.meta.dirname, "base");
const base = (file: string) => readFileSync(join(BASE, file), "utf8");

/**
 * Checks an example. One with a `protocol` stands for itself. Any other is laid over the base protocol:
 * each of its sections takes the place of the base's section of that kind and name, each of its agents the
 * place of the formulary's. Its lines keep their columns; `firstLine` says where they start.
 */
export function checkExample(
  text: string,
  { before, about }: Asked = {},
): { readonly check: FileCheck; readonly firstLine: number } {
  const laid = laidOver(text, before);
  return { check: checkLaid(laid, about), firstLine: laid.firstLine };
}

export interface Asked {
  /** What the example said in an earlier version. */
  readonly before?: string | undefined;
  /** The rules that are asked about; all if not said. */
  readonly about?: readonly string[];
}

/** The rules that are judged while the text is read. */
export const READING = catalogue.filter((rule) => !rule.judge && !rule.judgeAgent).map(({ id }) => id);

/**
 * Checks the files of an example; gives what is found in its own, and every protocol that was judged. Where no rule that is asked
 * about needs the runs, these are not gone through.
 */
export function checkLaid(laid: Laid, about?: readonly string[]): FileCheck {
  const quick = about && checkAll(laid, true);
  const isPending = quick?.protocols.some(({ pending }) => pending.some((rule) => about?.includes(rule)));
  return quick && !isPending ? quick : checkAll(laid, false);
}

function checkAll({ file, files, before }: Laid, withoutRuns: boolean): FileCheck {
  const site = new Site((name) => files.get(name));
  const read = file === EXAMPLE ? [file] : [...new Set([file, "protocol.limb"])];
  const earlier = before && {
    name: "the earlier version",
    key: "before",
    files: () => read,
    holds: (name: string) => before.has(name),
    textOf: (name: string) => before.get(name),
  };
  const checks = [
    ...checkFiles(site, read, {
      on: "2026-11-25",
      withoutRuns,
      ...(earlier && { earlierVersions: earlierVersions(earlier, site) }),
    }),
  ];
  const check = checks.find((one) => one.file === file);
  if (!check) throw new Error(`the example was not checked: ${file}`);
  return { ...check, protocols: checks.flatMap(({ protocols }) => protocols) };
}

/** The files of an example, and the one that has its text, from `firstLine` on. */
export interface Laid {
  readonly file: string;
  readonly firstLine: number;
  readonly files: ReadonlyMap<string, string>;
  /** The same files in an earlier version. */
  readonly before?: ReadonlyMap<string, string>;
}

const FILE_LEVEL = new Set(["agent", "local-rules", "event", "scenario", "use"]);

export function laidOver(text: string, before?: string): Laid {
  return before === undefined
    ? laidOverBase(text)
    : { ...laidOverBase(text), before: laidOverBase(before).files };
}

function laidOverBase(text: string): Laid {
  const shared = new Map([
    ["formulary.limb", base("formulary.limb")],
    ["local-rules.limb", base("local-rules.limb")],
    ["protocol.limb", base("protocol.limb")],
  ]);
  const parts = statementsOf(text);
  if (parts.some(({ keyword }) => keyword === "protocol")) {
    return { file: EXAMPLE, firstLine: 1, files: shared.set(EXAMPLE, text) };
  }
  if (parts.length > 0 && parts.every(({ keyword }) => FILE_LEVEL.has(keyword))) {
    return overShared(text, parts, shared);
  }
  const kept = withoutParts(bodyOf(base("protocol.limb")), parts);
  const head = `use "formulary.limb"\nuse "local-rules.limb"\n${routines()}\nprotocol example "Example" {\n${kept}\n`;
  const firstLine = head.split("\n").length;
  return { file: EXAMPLE, firstLine, files: shared.set(EXAMPLE, `${head}${text}\n}\n`) };
}

/** An example of agents or local rules: the base protocol is checked with them in place of its own. */
function overShared(text: string, parts: readonly Statement[], shared: Map<string, string>): Laid {
  const file = fileFor(parts);
  const head = `${withoutParts(shared.get(file) ?? "", parts)}\n`;
  const firstLine = head.split("\n").length;
  shared.set(file, `${head}${text}\n`);
  return { file, firstLine, files: shared };
}

function fileFor(parts: readonly Statement[]): string {
  const has = (wanted: string) => parts.some(({ keyword }) => keyword === wanted);
  if (has("scenario")) return "protocol.limb";
  return has("local-rules") ? "local-rules.limb" : "formulary.limb";
}

interface Statement {
  readonly keyword: string;
  readonly key: string;
  readonly text: string;
}

const NAMED = new Set(["agent", "dose", "timer", "emergency", "routine", "event", "require"]);

/** The statements at the outermost level of a text: lines, and blocks with their braces. */
function statementsOf(text: string): Statement[] {
  const statements: Statement[] = [];
  let lines: string[] = [];
  let depth = 0;
  for (const line of text.split("\n")) {
    const code = line.replace(/"[^"]*"/g, '""').replace(/\/\/.*/, "");
    if (lines.length === 0 && code.trim() === "") continue;
    lines.push(line);
    depth += (code.match(/\{/g) ?? []).length - (code.match(/\}/g) ?? []).length;
    if (depth > 0) continue;
    const whole = lines.join("\n");
    const [keyword = "", name = ""] = whole.trim().split(/\s+/);
    statements.push({ keyword, key: NAMED.has(keyword) ? `${keyword} ${name}` : keyword, text: whole });
    lines = [];
  }
  return statements;
}

function withoutParts(text: string, parts: readonly Statement[]): string {
  const replaced = new Set(parts.map(({ key }) => key));
  return statementsOf(text)
    .filter(({ key }) => !replaced.has(key))
    .map((statement) => statement.text)
    .join("\n");
}

function bodyOf(protocol: string): string {
  const whole = statementsOf(protocol).find(({ keyword }) => keyword === "protocol")?.text ?? "";
  return whole.split("\n").slice(1, -1).join("\n");
}

function routines(): string {
  const found = statementsOf(base("protocol.limb")).filter(({ keyword }) => keyword === "routine");
  return found.map(({ text }) => text).join("\n");
}
