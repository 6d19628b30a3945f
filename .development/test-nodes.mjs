// Tries the project on every Node that it is for, two at a time, each in a fresh copy of the working tree: `npm run test:nodes`.
// The copies lie in a folder with a space, and no Git is on the path. The newest Node does `npm ci`; the oldest has packages
// without their install scripts, so that the first use builds; the others build with the packages of this working tree, since none
// of them depends on a Node. All have to answer with the same bytes. With `--ends` the oldest and the newest alone are tried, as
// on each commit, and the oldest has the packages of this working tree, too. Ends with 3 where the Nodes can't be had.

import { execFileSync, spawn } from "node:child_process";
import { createHash } from "node:crypto";
import {
  chmodSync,
  cpSync,
  existsSync,
  lstatSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  readlinkSync,
  rmSync,
  symlinkSync,
} from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { pathToFileURL } from "node:url";
import protocol from "vscode-languageserver-protocol/node.js";
import { root } from "./steps/files.mjs";
import { folderOfPrograms, nodeProgram, VERSIONS } from "./steps/nodes.mjs";

const ENDS = process.argv.includes("--ends");
const TRIED = ENDS ? [VERSIONS[0], VERSIONS.at(-1)] : VERSIONS;
const ON = ["--on", "2026-11-25"];
const EXAMPLES = "examples/tarn-hollow";
const WORKSPACES = ["shared", "language", "server"];
const FILES = execFileSync("git", ["ls-files", "-z", "-co", "--exclude-standard"], {
  cwd: root,
  encoding: "utf8",
})
  .split("\0")
  .filter((one) => one !== "");
const QUICKLY = ["--prefer-offline", "--no-audit", "--no-fund"];
/** Where packages lie that a workspace does not share. */
const PACKAGES = [
  "node_modules",
  ...["shared", "language", "server", "extension"].map((of) => `${of}/node_modules`),
];
/** What Node and V8 say when something of ours is not for them. */
const WARNING = /\(node:\d+\)|Warning:|unrecognized flag|bad option/;
const NOBODY = 65_534;

try {
  TRIED.map(nodeProgram);
} catch (error) {
  console.log(error.message);
  process.exit(3);
}
const place = mkdtempSync(join(tmpdir(), "limb nodes "));
chmodSync(place, 0o755);
try {
  await tryAll();
} finally {
  rmSync(place, { recursive: true, force: true, maxRetries: 10 });
}

async function tryAll() {
  const [newest, ...older] = TRIED;
  const [oldest, ...others] = older.toReversed();
  const answers = new Map();
  const newestInstalled = installed(newest, installWhole).then(async (machine) => {
    await installPacked(machine);
    return machine;
  });
  const oldestInstalled = installed(oldest, async (machine) => {
    if (ENDS) linkPackages(machine);
    else await npm(machine, "ci", ...QUICKLY, "--ignore-scripts");
    await buildByFirstUse(machine);
  });
  const tryOn = async (machine) => {
    answers.set(machine.version, await answersOf(machine));
    // The packages are packed on the newest.
    await newestInstalled;
    await tryPacked(machine);
    await tryReadOnly(machine);
    console.log(`Node ${machine.version}: works (${Math.round((Date.now() - machine.started) / 1000)} s).`);
  };
  const tryOthers = async () => {
    for (let version = others.pop(); version !== undefined; version = others.pop()) {
      const build = async (machine) => {
        linkPackages(machine);
        await npm(machine, "run", "build");
      };
      await tryOn(await installed(version, build));
    }
  };
  await Promise.all(
    [newestInstalled, oldestInstalled].map(async (machine) => {
      await tryOn(await machine);
      await tryOthers();
    }),
  );
  for (const other of older) {
    for (const [what, bytes] of Object.entries(answers.get(newest))) {
      if (answers.get(other)[what] !== bytes)
        throw new Error(`${what} is another on Node ${other} than on ${newest}.`);
    }
  }
}

/** A fresh copy of the working tree with a Node of its own, once packages and what is built are there. */
async function installed(version, install) {
  const copy = join(place, `copy for ${version}`);
  for (const file of FILES.filter((one) => existsSync(join(root, one)))) {
    cpSync(join(root, file), join(copy, file));
  }
  const path = folderOfPrograms(join(place, version), version);
  const machine = {
    version,
    copy,
    path,
    temporary: join(place, `temporary ${version}`),
    started: Date.now(),
  };
  mkdirSync(machine.temporary, { mode: 0o1777 });
  chmodSync(machine.temporary, 0o1777);
  await install(machine);
  return machine;
}

function installWhole(machine) {
  return npm(machine, "ci", ...QUICKLY);
}

async function buildByFirstUse(machine) {
  const { stderr } = await limb(machine, ["rules"]);
  expect(
    stderr,
    "limb: first use, building the command line; this takes a few seconds.\n",
    "what the first use says",
  );
}

/** The packages of this working tree, as far as they are not parts of the project: those have to be the ones of the copy. */
function linkPackages({ copy }) {
  for (const packages of PACKAGES) {
    const [from, to] = [join(root, packages), join(copy, packages)];
    for (const name of existsSync(from) ? namesOfPackages(from) : []) {
      const [source, target] = [join(from, name), join(to, name)];
      mkdirSync(dirname(target), { recursive: true });
      symlinkSync(lstatSync(source).isSymbolicLink() ? readlinkSync(source) : source, target);
    }
  }
}

function namesOfPackages(folder) {
  return readdirSync(folder)
    .filter((name) => !name.startsWith("."))
    .flatMap((name) =>
      name.startsWith("@") ? readdirSync(join(folder, name)).map((of) => `${name}/${of}`) : [name],
    );
}

/** What is checked, compiled, replayed and said to an editor, as texts to be compared. */
async function answersOf(machine) {
  await npm(machine, "start");
  const compiled = join(machine.copy, EXAMPLES, "compiled");
  const ruleFiles = readdirSync(compiled).sort();
  const record = [
    "replay",
    `${EXAMPLES}/cases/with-deviations.csv`,
    "--protocol",
    join(compiled, "wrist-reduction.json"),
  ];
  return {
    check: await quietly(machine, ["check", `${EXAMPLES}/protocols`, ...ON], [0, 3]),
    replay: await quietly(machine, record, [1]),
    compile: digestOf(
      ruleFiles.map((name) => `${name}\n${readFileSync(join(compiled, name), "utf8")}`).join(""),
    ),
    server: await diagnosticsOf(machine, `${EXAMPLES}/flawed/fixed-volume.limb`),
  };
}

/** What the language server finds in a file, over its standard streams. */
async function diagnosticsOf(machine, file) {
  const child = spawn(
    join(machine.path, "node"),
    [join(machine.copy, "server/bin/limb.cjs"), "server", "--stdio"],
    {
      env: environment(machine),
      stdio: ["pipe", "pipe", "pipe"],
    },
  );
  let said = "";
  child.stderr.on("data", (part) => (said += part));
  const connection = protocol.createProtocolConnection(
    new protocol.StreamMessageReader(child.stdout),
    new protocol.StreamMessageWriter(child.stdin),
  );
  connection.onRequest("client/registerCapability", () => null);
  const found = new Promise((resolve) => {
    connection.onNotification("textDocument/publishDiagnostics", ({ diagnostics }) => {
      if (diagnostics.some(({ code }) => code === "dose-over-maximum")) resolve(diagnostics);
    });
  });
  connection.listen();
  const ended = new Promise((resolve) => child.on("exit", resolve));
  const folder = pathToFileURL(join(machine.copy, EXAMPLES)).toString();
  await connection.sendRequest("initialize", {
    processId: process.pid,
    capabilities: {},
    rootUri: folder,
    workspaceFolders: [{ uri: folder, name: "example" }],
  });
  await connection.sendNotification("initialized", {});
  const uri = pathToFileURL(join(machine.copy, file)).toString();
  const text = readFileSync(join(machine.copy, file), "utf8");
  await connection.sendNotification("textDocument/didOpen", {
    textDocument: { uri, languageId: "limb", version: 1, text },
  });
  const diagnostics = await found;
  await connection.sendRequest("shutdown");
  await connection.sendNotification("exit");
  expect(await ended, 0, "how the language server ends");
  expect(said, "", "what the language server says beside its answers");
  return diagnostics.map(({ code, range, message }) => JSON.stringify({ code, range, message })).join("\n");
}

/** Packs the packages and installs them as another program would, with a site to be checked. */
async function installPacked(machine) {
  const site = join(place, "site");
  mkdirSync(site);
  const packed = JSON.parse(
    await npm(
      machine,
      "pack",
      "--json",
      ...WORKSPACES.flatMap((of) => ["-w", of]),
      "--pack-destination",
      site,
    ),
  );
  const files = packed.map(({ filename }) => join(site, filename));
  await npm({ ...machine, copy: site }, "init", "--yes");
  await npm({ ...machine, copy: site }, "install", ...files, ...QUICKLY);
  cpSync(join(machine.copy, EXAMPLES, "protocols"), join(site, "protocols"), { recursive: true });
  for (const file of readdirSync(join(machine.copy, EXAMPLES)).filter((name) => name.endsWith(".limb"))) {
    cpSync(join(machine.copy, EXAMPLES, file), join(site, file));
  }
}

/** The installed packages: the program, and the library in a program of somebody else. */
async function tryPacked(machine) {
  const site = join(place, "site");
  const program = join(site, "node_modules/@limbwright/server/bin/limb.cjs");
  await quietly({ ...machine, copy: site }, ["check", "protocols", ...ON], [0, 3], program);
  const code = `
    import { checkFiles, Site } from "@limbwright/language";
    const text = "agent lidocaine {\\n  kind local-anaesthetic\\n  maximum 4\\n}\\n";
    const [{ findings }] = [...checkFiles(new Site(() => text), ["formulary.limb"], { on: "2026-11-25" })];
    console.log(findings.some(({ rule }) => rule === "unit-missing"));
  `;
  const { status, stdout, stderr } = await run(machine, site, ["--input-type=module", "--eval", code]);
  expect(`${status} ${stdout}${stderr}`, "0 true\n", "the library in another program");
}

/** A copy in which nothing can be written, by a user to whom it does not belong where we may say so. */
async function tryReadOnly(machine) {
  const own = readdirSync(machine.copy, { recursive: true, withFileTypes: true }).filter(
    ({ parentPath }) => !parentPath.includes("node_modules"),
  );
  const folders = [
    machine.copy,
    ...own.filter((one) => one.isDirectory()).map((one) => join(one.parentPath, one.name)),
  ];
  for (const folder of folders) chmodSync(folder, 0o555);
  const user = process.getuid?.() === 0 ? { uid: NOBODY, gid: NOBODY } : {};
  try {
    await quietly(machine, ["check", `${EXAMPLES}/protocols`, ...ON], [0, 3], undefined, user);
    const { status, stdout, stderr } = await run(machine, machine.copy, [".development/start.mjs"], user);
    expect(status, 0, `npm start in a read-only checkout, which said ${stdout}${stderr}`);
    expect(stderr, "", "what npm start says beside its output in a read-only checkout");
  } finally {
    for (const folder of folders) chmodSync(folder, 0o755);
  }
}

async function quietly(machine, given, codes, program, user) {
  const { status, stdout, stderr } = await limb(machine, given, program, user);
  if (!codes.includes(status))
    throw new Error(`limb ${given.join(" ")} ended with ${status}:\n${stdout}${stderr}`);
  expect(stderr, "", `what limb ${given[0]} says beside its output`);
  return stdout.replaceAll(machine.copy, "");
}

function limb(machine, given, program = join(machine.copy, "server/bin/limb.cjs"), user = {}) {
  return run(machine, machine.copy, [program, ...given], user);
}

async function npm(machine, ...given) {
  const { status, stdout, stderr } = await ran(join(machine.path, "npm"), given, machine, machine.copy);
  if (status !== 0 || WARNING.test(stdout + stderr)) {
    throw new Error(
      `npm ${given.join(" ")} on Node ${machine.version} ended with ${status}:\n${stdout}${stderr}`,
    );
  }
  return stdout;
}

function run(machine, cwd, given, user) {
  return ran(join(machine.path, "node"), given, machine, cwd, user);
}

/** How a program ended, and what it said. */
function ran(program, given, machine, cwd, user = {}) {
  return new Promise((resolve, reject) => {
    const stdio = ["ignore", "pipe", "pipe"];
    const child = spawn(program, given, { env: environment(machine), cwd, stdio, ...user });
    const said = { stdout: "", stderr: "" };
    for (const stream of ["stdout", "stderr"]) {
      child[stream].setEncoding("utf8").on("data", (part) => {
        said[stream] += part;
      });
    }
    child.once("error", reject).once("close", (status) => resolve({ status, ...said }));
  });
}

/** No Git, and none of what npm and a test tell their own children: npm would go to the folder of this project. */
function environment({ path, temporary }) {
  const kept = Object.entries(process.env).filter(
    ([name]) => !/^(npm_|NODE_(OPTIONS|COMPILE_CACHE)|VITEST)/i.test(name),
  );
  return { ...Object.fromEntries(kept), PATH: path, TMPDIR: temporary };
}

function expect(given, wanted, what) {
  if (given !== wanted)
    throw new Error(`${what} should be ${JSON.stringify(wanted)}, and is ${JSON.stringify(given)}.`);
}

function digestOf(text) {
  return createHash("sha256").update(text).digest("hex");
}
