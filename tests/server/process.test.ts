import { spawn, spawnSync } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { build } from "esbuild";
import { afterAll, beforeAll, expect, test } from "vitest";
import { cleanProtocol, FORMULARY, overdosingProtocol } from "./protocols.ts";
import { folderWith } from "./run-limb.ts";

let place = "";
let program = "";

/** The command line as a program of its own, from the sources as they are. */
beforeAll(async () => {
  place = mkdtempSync(join(tmpdir(), "limb-program-"));
  program = join(place, "limb.cjs");
  await build({
    entryPoints: [join(import.meta.dirname, "../../server/cli/main.ts")],
    outfile: program,
    bundle: true,
    format: "cjs",
    platform: "node",
    target: "node20",
    conditions: ["limbwright-source"],
    logLevel: "error",
  });
});

afterAll(() => rmSync(place, { recursive: true }));

const site = () => folderWith({ "formulary.limb": FORMULARY, "wrist.limb": overdosingProtocol() });

function run(
  cwd: string,
  given: readonly string[],
  options: { input?: string; env?: Record<string, string> } = {},
) {
  const { input, env = {} } = options;
  const ran = spawnSync(process.execPath, [program, ...given], {
    cwd,
    encoding: "utf8",
    env: { ...process.env, ...env },
    ...(input !== undefined && { input }),
  });
  return { code: ran.status, out: ran.stdout, err: ran.stderr };
}

test("the process ends with the code of the command", () => {
  const folder = site();
  expect(run(folder, ["check"]).code).toBe(1);
  expect(run(folder, ["check", "formulary.limb"])).toMatchObject({ code: 0, err: "" });
  expect(run(folder, ["check", "lost.limb"]).code).toBe(2);
  expect(run(folder, ["check", "-"], { input: cleanProtocol() }).code).toBe(0);
});

test("nothing is coloured in a pipe", () => {
  // biome-ignore lint/suspicious/noControlCharactersInRegex: the escape character starts a colour.
  expect(run(site(), ["check"]).out).not.toMatch(/\u001b/);
});

test("the day is the one where the user is", () => {
  for (const zone of ["Pacific/Kiritimati", "Pacific/Niue"]) {
    const today = () => new Intl.DateTimeFormat("en-CA", { timeZone: zone }).format(new Date());
    const before = today();
    const { judgedOn } = JSON.parse(run(site(), ["check", "--json"], { env: { TZ: zone } }).out);
    expect([before, today()]).toContain(judgedOn);
  }
});

test("a reader who goes away early gets no complaint", async () => {
  const protocols = Object.fromEntries(
    Array.from({ length: 40 }, (_, index) => [`w${index}.limb`, overdosingProtocol(`w-${index}`)]),
  );
  const folder = folderWith({ ...protocols, "formulary.limb": FORMULARY });
  const child = spawn(process.execPath, [program, "check"], { cwd: folder });
  let complaint = "";
  child.stderr.on("data", (chunk) => {
    complaint += chunk;
  });
  child.stdout.once("data", () => child.stdout.destroy());
  const code = await new Promise((resolve) => child.on("close", resolve));
  expect({ code, complaint }).toEqual({ code: 2, complaint: "" });
});
