import { spawnSync } from "node:child_process";
import { copyFileSync, existsSync, mkdirSync, realpathSync, symlinkSync, writeFileSync } from "node:fs";
import { delimiter, join } from "node:path";
import { root } from "./files.mjs";

/** The oldest Node on which the project runs, and the newest of each later line that is in use. */
export const VERSIONS = ["26.12.1", "24.22.3", "22.23.5", "20.19.0"];

const FOLDER = join(root, ".cache/nodes");
const PACKAGE = `node-${process.platform}-${process.arch}`;

/** The program of one version, which the registry has as a package; it is kept in `.cache`. Throws where it can't be had. */
export function nodeProgram(version) {
  const folder = join(FOLDER, version);
  const program = join(folder, "node_modules", PACKAGE, "bin/node");
  if (existsSync(program)) return program;
  mkdirSync(folder, { recursive: true });
  writeFileSync(join(folder, "package.json"), '{ "private": true }\n');
  const given = ["install", `${PACKAGE}@${version}`, "--ignore-scripts", "--no-audit", "--no-fund"];
  const { stderr } = spawnSync(process.execPath, [npmProgram(), ...given], {
    cwd: folder,
    encoding: "utf8",
    timeout: 300_000,
  });
  if (existsSync(program)) return program;
  const reason = stderr.split("\n").find((line) => line.includes("npm error")) ?? "";
  throw new Error(`Node ${version} cannot be installed here: it takes the npm registry. ${reason}`);
}

/** A folder for the path of programs in which there is this Node, npm and a shell, and nothing else: no Git. */
export function folderOfPrograms(folder, version) {
  mkdirSync(folder, { recursive: true });
  const node = join(folder, "node");
  // A copy, which another user can run wherever the project lies.
  copyFileSync(nodeProgram(version), node);
  writeFileSync(join(folder, "npm"), `#!/bin/sh\nexec "${node}" "${npmProgram()}" "$@"\n`, { mode: 0o755 });
  symlinkSync("/bin/sh", join(folder, "sh"));
  return folder;
}

/** The packages of Node bring no npm, so that of this machine is run by them. */
function npmProgram() {
  const inFolders = (process.env.PATH ?? "").split(delimiter).map((folder) => join(folder, "npm"));
  const found = inFolders.find((file) => existsSync(file));
  if (found === undefined) throw new Error("There is no npm on the path.");
  return realpathSync(found);
}
