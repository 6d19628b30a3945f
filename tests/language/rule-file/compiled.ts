import { readFileSync } from "node:fs";
import { join } from "node:path";
import { type Compiled, compileFile, Site } from "@limbwright/language";
import { type RuleFile, readRuleFile } from "@limbwright/shared/rule-file";

const ROOT = join(import.meta.dirname, "../../..");
const BASE = join(ROOT, "tests/rules/base");
export const ON = "2026-11-25";

/** The texts of the base example, by file; changes replace them. */
export function baseTexts(changes: Readonly<Record<string, string>> = {}): Map<string, string> {
  const files = ["protocol.limb", "formulary.limb", "local-rules.limb"];
  return new Map(files.map((file) => [file, changes[file] ?? readFileSync(join(BASE, file), "utf8")]));
}

/** Compiles the one protocol of a file. */
export function compiledFrom(
  texts: ReadonlyMap<string, string>,
  file = "protocol.limb",
  options: { readonly on?: string; readonly draft?: boolean } = {},
): Compiled {
  const compiled = compileFile(new Site((name) => texts.get(name)), file, { on: ON, ...options });
  const [only] = compiled ?? [];
  if (!only) throw new Error(`${file} has no protocol`);
  return only;
}

/** The text of a rule file; fails where the protocol is refused. */
export function textFrom(...args: Parameters<typeof compiledFrom>): string {
  const compiled = compiledFrom(...args);
  if (compiled.kind === "refused") {
    const found = compiled.findings.map(({ rule, what }) => `${rule}: ${what}`);
    throw new Error([compiled.because, ...found].join("\n"));
  }
  return compiled.text;
}

export function fileFrom(text: string): RuleFile {
  const reading = readRuleFile(text);
  if (reading.kind === "refused") throw new Error(JSON.stringify(reading.faults));
  return reading.file;
}
