import { readdirSync, readFileSync, statSync } from "node:fs";
import { join } from "node:path";
import { type Compiled, compileFile, Site } from "@limbwright/language";
import { ON } from "./compiled.ts";

const SITE = join(import.meta.dirname, "../../../examples/tarn-hollow");

/** Every .limb text of the example hospital, by its path in the site. */
export function exampleTexts(): Map<string, string> {
  const files = (readdirSync(SITE, { recursive: true }) as string[])
    .filter((file) => file.endsWith(".limb") && statSync(join(SITE, file)).isFile())
    .sort();
  return new Map(files.map((file) => [file.replaceAll("\\", "/"), readFileSync(join(SITE, file), "utf8")]));
}

/** Every example compiled as a draft, with its file; a worker compiles them once. */
export function compiledFiles(): readonly { readonly file: string; readonly compiled: Compiled }[] {
  known ??= compileAll();
  return known;
}

let known: ReturnType<typeof compileAll> | undefined;

function compileAll() {
  const texts = exampleTexts();
  const site = new Site((file) => texts.get(file));
  return [...texts.keys()].flatMap((file) =>
    (compileFile(site, file, { on: ON, draft: true }) ?? []).map((compiled) => ({ file, compiled })),
  );
}

/** The rule file of every example that can be compiled; two flawed ones may share a name. */
export function compiledExamples(): Extract<Compiled, { kind: "written" }>[] {
  return compiledFiles().flatMap(({ compiled }) => (compiled.kind === "written" ? [compiled] : []));
}
