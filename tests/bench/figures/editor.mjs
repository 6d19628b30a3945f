import { readFileSync, rmSync } from "node:fs";
import { createRequire } from "node:module";
import { join } from "node:path";
import { editorClient } from "../material/editor-client.mjs";
import { hospitalGroup } from "../material/hospital-group.mjs";
import { LIMB, PROTOCOL, SITE, YAML } from "../material/paths.mjs";
import { comparedWith, rounded, summary } from "../row.mjs";

const YAML_SERVER = createRequire(import.meta.url).resolve("yaml-language-server/bin/yaml-language-server");
const SCHEMA = new URL("../material/peers/protocol.schema.json", import.meta.url).toString();

/** Lines, copies of a protocol in one file, keystrokes that are timed. */
const SIZES = [
  [150, 1, 60],
  [1000, 7, 30],
  [5000, 34, 15],
];

/** What an author waits for while typing, beside a server for YAML that holds the same content against a JSON Schema. */
export async function measure() {
  const rows = [];
  for (const [lines, copies, keystrokes] of SIZES) {
    const yaml = await yamlTimes(copies, keystrokes);
    const limb = await limbTimes(copies, keystrokes);
    const peer = row(`YAML and a schema, first findings, ${lines} lines`, yaml);
    rows.push(peer, comparedWith(peer, row(`key to first findings, ${lines} lines`, limb.first), 0.5));
    rows.push(row(`key to proof, ${lines} lines`, limb.proof));
  }
  return [...rows, await openingWorkspace(), ...(await anHourOfEdits())];
}

/** The median and the spread, with the 95th percentile in the words. */
function row(what, times) {
  const sorted = [...times].sort((a, b) => a - b);
  const most = rounded(sorted[Math.ceil(sorted.length * 0.95) - 1]);
  return { what: `${what}, 95 % in ${most} ms`, unit: "ms", ...summary(times) };
}

async function limbTimes(copies, keystrokes) {
  const client = await editorClient({ command: [LIMB, "server", "--stdio"], folder: SITE });
  const one = readFileSync(PROTOCOL, "utf8");
  const uses = one.match(/^use .*$/gm).join("\n");
  const rest = one.replace(/^use .*$/gm, "");
  const text = (ending) =>
    [
      uses,
      ...Array.from({ length: copies }, (_, index) =>
        rest
          .replace("protocol wrist-reduction ", `protocol wrist-${index} `)
          .replace("up to 200 mg", index === copies - 1 ? `up to 200${ending} mg` : "up to 200 mg"),
      ),
    ].join("\n");
  const times = { first: [], proof: [] };
  const uri = `${client.uri}/typed.limb`;
  await type(client, uri, "limb", text, keystrokes, async (change) => {
    const proof = client.timeUntil(
      (method, params) => method === "limbwright/proofState" && !params.isRunning,
      change,
    );
    const first = client.timeUntil(
      (method, params) => method === "textDocument/publishDiagnostics" && params.uri === uri,
      async () => {},
    );
    times.first.push(await first);
    times.proof.push(await proof);
  });
  client.end();
  return times;
}

async function yamlTimes(copies, keystrokes) {
  const settings = {
    yaml: { validate: true, schemas: { [SCHEMA]: "*.yaml" }, schemaStore: { enable: false } },
  };
  const client = await editorClient({ command: [YAML_SERVER, "--stdio"], folder: SITE, settings });
  const one = readFileSync(YAML, "utf8");
  const text = (ending) =>
    Array.from({ length: copies }, (_, index) =>
      index === copies - 1 ? one.replace("version: 1.4.0", `version: 1.4.0${ending === "" ? "" : "x"}`) : one,
    ).join("---\n");
  const times = [];
  const uri = `${client.uri}/typed.yaml`;
  await type(client, uri, "yaml", text, keystrokes, async (change) => {
    times.push(
      await client.timeUntil(
        (method, params) => method === "textDocument/publishDiagnostics" && params.uri === uri,
        change,
      ),
    );
  });
  client.end();
  return times;
}

/** Opens a text, then types into it: a slip and its repair by turns, each of which changes what is found. */
async function type(client, uri, languageId, text, keystrokes, timed) {
  await client.timeUntil(
    (method, params) => method === "textDocument/publishDiagnostics" && params.uri === uri,
    () =>
      client.send("textDocument/didOpen", {
        textDocument: { uri, languageId, version: 1, text: text(".0") },
      }),
  );
  await new Promise((resolve) => setTimeout(resolve, 1500));
  for (let version = 2; version < keystrokes + 2; version++) {
    await timed(() =>
      client.send("textDocument/didChange", {
        textDocument: { uri, version },
        contentChanges: [{ text: text(version % 2 === 0 ? "" : ".0") }],
      }),
    );
  }
}

async function openingWorkspace() {
  const folder = hospitalGroup(920);
  try {
    const client = await editorClient({ command: [LIMB, "server", "--stdio"], folder });
    const start = performance.now();
    await client.ask("limbwright/whenChecked");
    const time = performance.now() - start;
    client.end();
    return { what: "opening a workspace of 1,000 files, all proven", unit: "ms", median: rounded(time) };
  } finally {
    rmSync(folder, { recursive: true });
  }
}

/** An edit a second for an hour, ten at a time as fast as they are checked. */
async function anHourOfEdits() {
  const client = await editorClient({ command: [LIMB, "server", "--stdio"], folder: SITE });
  const text = readFileSync(PROTOCOL, "utf8");
  const uri = `${client.uri}/typed.limb`;
  await client.send("textDocument/didOpen", { textDocument: { uri, languageId: "limb", version: 1, text } });
  const memory = () =>
    Number(/VmRSS:\s+(\d+)/.exec(readFileSync(join("/proc", `${client.child.pid}`, "status"), "utf8"))?.[1]) /
    1000;
  let before = 0;
  for (let edit = 1; edit <= 3600; edit++) {
    const contentChanges = [{ text: text.replace("up to 200 mg", `up to ${100 + (edit % 90)} mg`) }];
    await client.send("textDocument/didChange", { textDocument: { uri, version: edit + 1 }, contentChanges });
    if (edit % 10 === 0) await client.ask("limbwright/whenChecked");
    if (edit === 360) before = memory();
  }
  const after = memory();
  client.end();
  const base = { what: "memory after a tenth of an hour's edits", unit: "MB", median: rounded(before) };
  return [
    base,
    comparedWith(base, { what: "memory after an hour's edits", unit: "MB", median: rounded(after) }, 1.5),
  ];
}
