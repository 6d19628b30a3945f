import { readdirSync, readFileSync, rmSync } from "node:fs";
import { createRequire } from "node:module";
import { join } from "node:path";
import { editorClient } from "../material/editor-client.mjs";
import { hospitalGroup } from "../material/hospital-group.mjs";
import { LIMB, PROTOCOL, SITE, YAML } from "../material/paths.mjs";
import { comparedWith, rounded, summary } from "../row.mjs";

const YAML_SERVER = createRequire(import.meta.url).resolve("yaml-language-server/bin/yaml-language-server");
const SCHEMA = new URL("../material/peers/protocol.schema.json", import.meta.url).toString();

/** How long the server for YAML waits after a key before it looks at the text, as its source says (validationDelayMs). */
const YAML_WAITS = 200;

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
    const peer = row(
      `YAML and a schema, first findings, ${lines} lines (${YAML_WAITS} ms of it a wait)`,
      yaml,
    );
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
  const uri = `${client.uri}/typed.limb`;
  const times = { first: [], proof: [] };
  await type(client, uri, "limb", limbText(copies), keystrokes, async (change, version) => {
    const proof = client.timeUntil(
      (method, params) => method === "limbwright/proofState" && !params.isRunning,
      change,
    );
    times.first.push(await client.timeUntil(findings(uri, version), async () => {}));
    times.proof.push(await proof);
  });
  client.end();
  return times;
}

/** Copies of the protocol and its routine in one file; the text of the one in the middle is still being typed. */
function limbText(copies) {
  const whole = readFileSync(PROTOCOL, "utf8");
  const uses = whole.match(/^use .*$/gm).join("\n");
  const routineAt = whole.indexOf("\nroutine ");
  const protocol = whole.slice(0, routineAt).replace(/^use .*$/gm, "");
  return (ending) =>
    [
      uses,
      ...numbered(copies).map((index) =>
        protocol
          .replace("protocol wrist-reduction ", `protocol wrist-${index} `)
          .replace("up to 200 mg", index === middleOf(copies) ? `up to 200${ending} mg` : "up to 200 mg"),
      ),
      whole.slice(routineAt),
    ].join("\n");
}

async function yamlTimes(copies, keystrokes) {
  const settings = {
    yaml: { validate: true, schemas: { [SCHEMA]: "*.yaml" }, schemaStore: { enable: false } },
  };
  const client = await editorClient({ command: [YAML_SERVER, "--stdio"], folder: SITE, settings });
  const uri = `${client.uri}/typed.yaml`;
  const times = [];
  await type(client, uri, "yaml", yamlText(copies), keystrokes, async (change, version) => {
    times.push(await client.timeUntil(findings(uri, version), change));
  });
  client.end();
  return times;
}

function yamlText(copies) {
  const whole = readFileSync(YAML, "utf8");
  const slip = (ending) => `version: 1.4.0${ending === "" ? "" : "x"}`;
  return (ending) =>
    numbered(copies)
      .map((index) => (index === middleOf(copies) ? whole.replace("version: 1.4.0", slip(ending)) : whole))
      .join("---\n");
}

function numbered(copies) {
  return Array.from({ length: copies }, (_, index) => index);
}

function middleOf(copies) {
  return Math.floor(copies / 2);
}

/** Whether a message gives the findings of a text; of this version of it, where the server says which. */
function findings(uri, version) {
  return (method, params) =>
    method === "textDocument/publishDiagnostics" &&
    params.uri === uri &&
    (params.version ?? version) === version;
}

/** Opens a text, then types into it: a slip and its repair by turns, each of which changes what is found. */
async function type(client, uri, languageId, text, keystrokes, timed) {
  await client.timeUntil(findings(uri, 1), () =>
    client.send("textDocument/didOpen", {
      textDocument: { uri, languageId, version: 1, text: text(".0") },
    }),
  );
  await new Promise((resolve) => setTimeout(resolve, 1500));
  for (let version = 2; version < keystrokes + 2; version++) {
    await timed(
      () =>
        client.send("textDocument/didChange", {
          textDocument: { uri, version },
          contentChanges: [{ text: text(version % 2 === 0 ? "" : ".0") }],
        }),
      version,
    );
  }
}

async function openingWorkspace() {
  const folder = hospitalGroup(926);
  try {
    const client = await editorClient({ command: [LIMB, "server", "--stdio"], folder });
    const start = performance.now();
    await client.ask("limbwright/whenChecked");
    const time = performance.now() - start;
    client.end();
    const files = readdirSync(folder, { recursive: true }).filter((file) => file.endsWith(".limb")).length;
    return { what: `opening a workspace of ${files} files, all proven`, unit: "ms", median: rounded(time) };
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
