import { createHash } from "node:crypto";
import { mkdirSync, readdirSync, readFileSync, writeFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { root } from "./files.mjs";

const NOTE = join(root, ".cache/last-build");
const FOLDERS = ["shared", "language", "server", "extension", ".development"];
const FILES = ["package.json", "package-lock.json", "tsconfig.json"];
/** What lies in these folders and is not built from the sources, or not by us. */
const OTHER = new Set(["node_modules", "compiled"]);

/** Whether all that a build reads and writes is as the last one here left it. */
export function isAsBuilt() {
  try {
    return readFileSync(NOTE, "utf8") === digest();
  } catch {
    return false;
  }
}

/** Takes note that everything was built just now. */
export function noteBuild() {
  mkdirSync(dirname(NOTE), { recursive: true });
  writeFileSync(NOTE, digest());
}

function digest() {
  const hash = createHash("sha256").update(process.version);
  for (const path of [...FILES, ...FOLDERS.flatMap(filesBelow)]) {
    hash.update(`\0${path}\0`).update(readFileSync(join(root, path)));
  }
  return hash.digest("hex");
}

function filesBelow(folder) {
  const entries = readdirSync(join(root, folder), { withFileTypes: true });
  return entries
    .filter(({ name }) => !OTHER.has(name))
    .sort((a, b) => (a.name < b.name ? -1 : 1))
    .flatMap((entry) => {
      const path = `${folder}/${entry.name}`;
      return entry.isDirectory() ? filesBelow(path) : path;
    });
}
