// Installs the editors with which the long tests try the language server, where the machine has Debian's packages and lets us.
// Says in one line what is missing otherwise, and ends with 1. Run by those tests; with `--if-there`, as on each commit, it installs
// nothing, which takes longer than the tests.

import { spawnSync } from "node:child_process";

const PACKAGES = { nvim: ["neovim"], emacs: ["emacs-nox", "elpa-eglot"] };

const missing = Object.keys(PACKAGES).filter((program) => spawnSync(program, ["--version"]).error);
if (missing.length > 0 && !process.argv.includes("--if-there")) {
  const wanted = missing.flatMap((program) => PACKAGES[program]);
  const quiet = { stdio: "ignore", timeout: 300_000 };
  spawnSync("apt-get", ["update"], quiet);
  spawnSync("apt-get", ["install", "--yes", "--no-install-recommends", ...wanted], quiet);
}
const lacking = Object.keys(PACKAGES).filter((program) => spawnSync(program, ["--version"]).error);
if (lacking.length > 0) {
  const why = process.argv.includes("--if-there")
    ? "is not installed here; the nightly tests install it"
    : "cannot be installed here: it takes Debian's packages and the right to install them";
  console.log(`${lacking.join(" and ")}: ${why}.`);
  process.exit(1);
}
