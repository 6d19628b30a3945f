// Runs the checks of the sources side by side and shows what each says when it has ended: `npm run checks`.

import { spawn } from "node:child_process";
import { root } from "./steps/files.mjs";

const CHECKS = ["types", "lint", "directions", "dead-code"];

const passed = await Promise.all(CHECKS.map(check));
process.exitCode = passed.every((one) => one) ? 0 : 1;

function check(name) {
  return new Promise((done) => {
    const child = spawn("npm", ["run", name], {
      cwd: root,
      shell: process.platform === "win32",
      stdio: ["ignore", "pipe", "pipe"],
    });
    const said = [];
    child.stdout.on("data", (data) => said.push(data));
    child.stderr.on("data", (data) => said.push(data));
    child.on("error", (error) => said.push(`${error}\n`));
    child.on("close", (code) => {
      process.stdout.write(said.join(""));
      done(code === 0);
    });
  });
}
