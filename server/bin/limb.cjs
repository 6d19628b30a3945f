#!/usr/bin/env node
// Starts the command line. It keeps V8's compiled code beside the bundle, because compiling it anew takes
// longer than checking a protocol; a machine that cannot keep it only starts slower.
"use strict";

const { mkdirSync, readFileSync, renameSync, writeFileSync } = require("node:fs");
const { join } = require("node:path");
const { setFlagsFromString } = require("node:v8");
const { Script } = require("node:vm");

// A short run ends before optimised code pays: V8 optimises later than it would of itself. A server runs for hours, and a
// replay may go through a million events.
if (process.argv[2] !== "server" && process.argv[2] !== "replay") {
  setFlagsFromString("--interrupt-budget=2000000");
}
// However large a record is, little of it is held at a time: what is let go is swept up before the heap grows with it. And
// what optimises code takes of the cores that read and judge, so it comes a little later than of itself.
if (process.argv[2] === "replay") {
  setFlagsFromString("--heap-growing-percent=20");
  setFlagsFromString("--interrupt-budget=300000");
}

const DIST = join(__dirname, "../dist");
const BUNDLE = join(DIST, "limb.cjs");

const source = readBundle() ?? buildThenRead();
// V8 compares only the length of the source, so the name carries the bundle's own digest, its first line.
const digest = /^\/\/ ([0-9a-f]{16})\n/.exec(source)?.[1] ?? "unknown";
const keptFile = join(DIST, "compiled", `${digest}-${process.version}-${process.arch}.bin`);
const kept = readKept();
const script = new Script(`(function (exports, require, module, __filename, __dirname) { ${source}\n})`, {
  filename: BUNDLE,
  cachedData: kept,
});
// Only a check runs through most of the code; what another command compiled would not help the next check.
if ((kept === undefined || script.cachedDataRejected) && process.argv[2] === "check") {
  process.on("exit", keepCompiled);
}
script.runInThisContext()(exports, require, module, BUNDLE, DIST);

function readBundle() {
  try {
    return readFileSync(BUNDLE, "latin1");
  } catch {
    return undefined;
  }
}

function readKept() {
  try {
    return readFileSync(keptFile);
  } catch {
    return undefined;
  }
}

function keepCompiled() {
  const unfinished = `${keptFile}.${process.pid}`;
  try {
    mkdirSync(join(DIST, "compiled"), { recursive: true });
    writeFileSync(unfinished, script.createCachedData());
    renameSync(unfinished, keptFile);
  } catch {
    // A read-only folder or a full disk: the next start compiles again.
  }
}

/** In a fresh clone the bundle is missing until the first build. */
function buildThenRead() {
  const { existsSync } = require("node:fs");
  const { spawnSync } = require("node:child_process");
  const root = join(__dirname, "../..");
  if (!existsSync(join(root, ".development/build.mjs"))) {
    fail(`limb: ${BUNDLE} is missing. Install the package again.`);
  }
  process.stderr.write("limb: first use, building the command line; this takes a few seconds.\n");
  for (const step of ["generate.mjs", "build.mjs"]) {
    const { status, stdout, stderr } = spawnSync(process.execPath, [join(root, ".development", step)], {
      cwd: root,
      encoding: "utf8",
      stdio: ["ignore", "pipe", "pipe"],
    });
    if (status !== 0) {
      fail(`${stdout}${stderr}\nlimb: the build failed, see above. Run "npm ci" in ${root}, then try again.`);
    }
  }
  return readBundle() ?? fail(`limb: the build wrote no ${BUNDLE}. Run "npm ci" in ${root}, then try again.`);
}

function fail(message) {
  process.stderr.write(`${message}\n`);
  process.exit(2);
}
