#!/usr/bin/env node
// Starts the command line, and builds it first in a fresh clone. Compiling it takes longer than checking a protocol, so
// what was compiled is kept: by Node itself, in the system's temporary folder; on Node 20, which cannot, by node-20.cjs.
"use strict";

const { existsSync } = require("node:fs");
const { enableCompileCache } = require("node:module");
const { join } = require("node:path");

const BUNDLE = join(__dirname, "../dist/limb.cjs");

if (!existsSync(BUNDLE)) build();
if (enableCompileCache) {
  enableCompileCache();
  require(BUNDLE);
} else {
  require("./node-20.cjs")(BUNDLE);
}

function build() {
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
  if (!existsSync(BUNDLE))
    fail(`limb: the build wrote no ${BUNDLE}. Run "npm ci" in ${root}, then try again.`);
}

function fail(message) {
  process.stderr.write(`${message}\n`);
  process.exit(2);
}
