// Runs the checks of the sources side by side and shows what each says when it has ended: `npm run checks`. With the name of
// another script that one runs beside them, as `npm test` does, and is shown as it goes on.

import { spawn } from "node:child_process";
import { root } from "./steps/files.mjs";

const CHECKS = ["types", "lint", "directions", "dead-code"];

const [beside] = process.argv.slice(2);
const passed = await Promise.all([
  ...(beside ? [run(beside, "inherit")] : []),
  ...CHECKS.map((name) => run(name, "pipe")),
]);
process.exitCode = passed.every((one) => one) ? 0 : 1;

function run(name, output) {
  return new Promise((done) => {
    const child = spawn("npm", ["run", name], {
      cwd: root,
      shell: process.platform === "win32",
      stdio: ["ignore", output, output],
    });
    const said = [];
    child.stdout?.on("data", (data) => said.push(data));
    child.stderr?.on("data", (data) => said.push(data));
    child.on("error", (error) => said.push(`${error}\n`));
    child.on("close", (code) => {
      process.stdout.write(said.join(""));
      done(code === 0);
    });
  });
}
