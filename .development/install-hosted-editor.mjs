// Installs code-server, VS Code with its extensions in Node and its screen in a browser, into .cache: the long tests try the
// packed extension in it. Says in one line what is missing otherwise, and ends
// with 1. Run by those tests; with `--if-there`, as on each commit, it installs nothing, which takes longer than the tests.

import { spawnSync } from "node:child_process";
import { existsSync, mkdirSync, rmSync, symlinkSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { root } from "./steps/files.mjs";

const VERSION = "4.100.3";
const FOLDER = join(root, ".cache/hosted-editor");
const EDITOR = join(FOLDER, "node_modules/code-server/lib/vscode");
const DONE = join(FOLDER, `installed-${VERSION}`);
/** Parts with compiled code, without which it does not start; the others (search, terminals) are not needed. */
const COMPILED = { [FOLDER]: ["argon2"], [EDITOR]: ["@vscode/spdlog", "native-watchdog"] };

if (!existsSync(DONE) && process.argv.includes("--if-there")) {
  console.log(`code-server ${VERSION} is not installed here; the nightly tests install it.`);
  process.exit(1);
}
if (!existsSync(DONE)) install();

function install() {
  rmSync(FOLDER, { recursive: true, force: true });
  mkdirSync(FOLDER, { recursive: true });
  writeFileSync(join(FOLDER, "package.json"), '{ "private": true }\n');
  npm(FOLDER, "install", "--ignore-scripts", `code-server@${VERSION}`);
  npm(EDITOR, "install", "--omit=dev", "--ignore-scripts");
  for (const [folder, packages] of Object.entries(COMPILED)) npm(folder, "rebuild", ...packages);
  symlinkSync("node_modules", join(EDITOR, "node_modules.asar"));
  writeFileSync(DONE, "");
}

function npm(cwd, ...given) {
  const { status, stderr } = spawnSync("npm", [...given, "--no-audit", "--no-fund"], {
    cwd,
    encoding: "utf8",
    timeout: 400_000,
  });
  if (status === 0) return;
  const [reason = ""] = stderr.split("\n").filter((line) => line.includes("npm error"));
  console.log(
    `code-server ${VERSION} cannot be installed here: it takes the npm registry, a compiler for C++, and a path without a space. ${reason}`,
  );
  process.exit(1);
}
