// Runs the bundle on Node 20, which keeps no compiled code of itself: it is kept beside the bundle, where that can be
// written. Without it, and with code optimised as early as V8 would of itself, a check takes twice as long there.
"use strict";

const { mkdirSync, readFileSync, renameSync, writeFileSync } = require("node:fs");
const { createRequire } = require("node:module");
const { dirname, join } = require("node:path");
const { setFlagsFromString } = require("node:v8");
const { Script } = require("node:vm");

module.exports = (bundle) => {
  const [, , command] = process.argv;
  delayOptimising(command);
  const source = readFileSync(bundle, "latin1");
  // V8 compares only the length of the source, so the name carries the bundle's own digest, its first line.
  const digest = /^\/\/ ([0-9a-f]{16})\n/.exec(source)?.[1] ?? "unknown";
  const folder = join(dirname(bundle), "compiled");
  const keptFile = join(folder, `${digest}-${process.version}-${process.arch}.bin`);
  const cachedData = readKept(keptFile);
  const script = new Script(`(function (exports, require, module, __filename, __dirname) { ${source}\n})`, {
    filename: bundle,
    cachedData,
  });
  // Only a check runs through most of the code; what another command compiled would not help the next check.
  if ((cachedData === undefined || script.cachedDataRejected) && command === "check") {
    process.on("exit", () => keep(folder, keptFile, script.createCachedData()));
  }
  const loaded = { exports: {} };
  script.runInThisContext()(loaded.exports, createRequire(bundle), loaded, bundle, dirname(bundle));
};

/** A short run ends before optimised code pays. A replay of a large record lasts longer, and a server runs for hours. */
function delayOptimising(command) {
  // V8 took this flag out after Node 20.
  if (command === "replay") setFlagsFromString("--interrupt-budget=300000");
  else if (command !== "server") setFlagsFromString("--interrupt-budget=2000000");
}

function readKept(file) {
  try {
    return readFileSync(file);
  } catch {
    return undefined;
  }
}

function keep(folder, file, data) {
  const unfinished = `${file}.${process.pid}`;
  try {
    mkdirSync(folder, { recursive: true });
    writeFileSync(unfinished, data);
    renameSync(unfinished, file);
  } catch {
    // A read-only folder or a full disk: the next start compiles again.
  }
}
