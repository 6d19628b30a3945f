// Shows the whole way on the example hospital: its protocols are checked and compiled, and a flawed draft is
// held up. Run by `npm start`, which builds first where that was not done.

import { spawnSync } from "node:child_process";
import { accessSync, constants, mkdtempSync, readdirSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { root } from "./steps/files.mjs";

const PROTOCOLS = "examples/tarn-hollow/protocols";
const COMPILED = isWritable("examples/tarn-hollow")
  ? "examples/tarn-hollow/compiled"
  : mkdtempSync(join(tmpdir(), "limb-compiled-"));
const FLAWED = "examples/tarn-hollow/flawed/fixed-volume.limb";
/** The example does not grow old: its dates are judged on this day. */
const ON = ["--on", "2026-11-25"];

rmSync(resolve(root, COMPILED), { recursive: true, force: true });
show("Checking the protocols of the Tarn Hollow Hospital", ["check", PROTOCOLS, ...ON], [0, 3]);
show("Compiling them to rule files", ["compile", PROTOCOLS, "--into", COMPILED, ...ON], [0]);
show("Checking a draft with a flaw", ["check", FLAWED, ...ON], [1]);

const written = readdirSync(resolve(root, COMPILED)).length;
console.log(
  `\nAll as expected: no finding in the protocols is left open, ${written} rule files are in ${COMPILED}, the flaw is found.`,
);

/** A checkout may be read-only. */
function isWritable(folder) {
  try {
    accessSync(join(root, folder), constants.W_OK);
    return true;
  } catch {
    return false;
  }
}

/** Runs the command line as a reader would type it, and stops when it ends otherwise than the example should. */
function show(title, given, expected) {
  console.log(`\n${title}: npx limb ${given.join(" ")}\n`);
  const launcher = join(root, "server/bin/limb.cjs");
  const { status } = spawnSync(process.execPath, [launcher, ...given], { cwd: root, stdio: "inherit" });
  if (!expected.includes(status)) {
    console.error(`\nThis should have ended with code ${expected.join(" or ")}, and ended with ${status}.`);
    process.exit(1);
  }
}
