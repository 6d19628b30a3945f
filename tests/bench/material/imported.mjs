import { mkdirSync, writeFileSync } from "node:fs";
import { basename, join } from "node:path";
import { pathToFileURL } from "node:url";
import { root } from "../../../.development/steps/files.mjs";
import { bundleSource } from "../../../.development/steps/sources.mjs";

/** What a module of the sources exports. It is kept inside the project, where the packages it imports are found. */
export async function imported(path) {
  const folder = join(root, ".cache");
  mkdirSync(folder, { recursive: true });
  const file = join(folder, `${basename(path, ".ts")}.mjs`);
  writeFileSync(file, await bundleSource(path));
  return import(pathToFileURL(file).href);
}
