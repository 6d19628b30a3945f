import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { checkFiles, type FileCheck, Site } from "@limbwright/language";

const ROOT = join(import.meta.dirname, "../../examples/tarn-hollow");

/** The `.limb` files of a folder of the example hospital, in order. */
export function filesIn(folder: string): string[] {
  return readdirSync(join(ROOT, folder))
    .filter((name) => name.endsWith(".limb"))
    .sort()
    .map((name) => join(folder, name).replaceAll("\\", "/"));
}

export function textOf(file: string): string | undefined {
  try {
    return readFileSync(join(ROOT, file), "utf8");
  } catch {
    return undefined;
  }
}

/** Checks files of the example hospital and what they use. */
export function checkSite(files: readonly string[]): FileCheck[] {
  return [...checkFiles(new Site(textOf), files, { on: "2026-11-25" })];
}
