// Installs code-server, VS Code with its extensions in Node and its screen in a browser, into .cache: the long tests try the
// packed extension in it. Says in one line what is missing otherwise, and ends with 1. Run by those tests.

import { spawnSync } from "node:child_process";
import { existsSync, mkdirSync, rmSync, symlinkSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { root } from "./steps/files.mjs";

const VERSION = "4.100.3";
const FOLDER = join(root, ".cache/hosted-editor");
const EDITOR = join(FOLDER, "node_modules/code-server/lib/vscode");
const DONE = join(FOLDER, `installed-${VERSION}-with-stand-ins`);
/**
 * Parts with compiled code, without which it does not start: passwords, the log, the end of a process whose parent has ended. The
 * tests need none of them, and to compile them takes longer than all the rest, so that each has a stand-in. The others (search,
 * terminals) are not needed at all.
 */
const STAND_INS = {
  [join(FOLDER, "node_modules/argon2/argon2.js")]: `
exports.hash = () => Promise.reject(new Error("There are no passwords."));
exports.verify = exports.hash;
`,
  [join(EDITOR, "node_modules/@vscode/spdlog/index.js")]: `
const nothing = () => {};
const METHODS = ["setPattern", "clearFormatters", "setLevel", "flush", "drop", "trace", "debug", "info", "warn", "error", "critical"];
const logger = async () => Object.fromEntries(METHODS.map((name) => [name, nothing]));
exports.setLevel = nothing;
exports.setFlushOn = nothing;
exports.createRotatingLogger = logger;
exports.createAsyncRotatingLogger = logger;
`,
  [join(EDITOR, "node_modules/native-watchdog/index.js")]: `
exports.start = () => {};
exports.exit = (code) => process.exit(code);
`,
};

if (!existsSync(DONE)) install();

function install() {
  rmSync(FOLDER, { recursive: true, force: true });
  mkdirSync(FOLDER, { recursive: true });
  writeFileSync(join(FOLDER, "package.json"), '{ "private": true }\n');
  npm(FOLDER, "install", "--ignore-scripts", `code-server@${VERSION}`);
  npm(EDITOR, "install", "--omit=dev", "--ignore-scripts");
  for (const [file, text] of Object.entries(STAND_INS)) writeFileSync(file, text);
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
  console.log(`code-server ${VERSION} cannot be installed here: it takes the npm registry. ${reason}`);
  process.exit(1);
}
