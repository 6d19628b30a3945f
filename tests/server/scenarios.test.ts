import { readFileSync } from "node:fs";
import { join } from "node:path";
import { Ajv2020 } from "ajv/dist/2020.js";
import { describe, expect, test } from "vitest";
import { cleanProtocol, FORMULARY, replaced } from "./protocols.ts";
import { folderWith, runLimb } from "./run-limb.ts";

const HEAD = 'use "wrist.limb"\n\n';

const PASSES = `scenario "Surgery ends early" for wrist {
  patient weight 60 kg, systolic 130 mmHg, age 40 years
  run to end of local
  after 12 min task "Reduce and splint" ends
  expect deflate all for 10 s refused by early-release
  after 30 min expect deflate all for 10 s allowed
  expect dose local is 180 mg
}
`;

const FAILS = `scenario "Released at once" for wrist {
  patient weight 60 kg, systolic 130 mmHg, age 40 years
  run to end of local
  after 12 min task "Reduce and splint" ends
  expect deflate all for 10 s allowed
  expect dose local is 200 mg
}
`;

const IS_OPEN = `scenario "A child" for wrist {
  patient weight 20 kg
  expect dose local is 60 mg
}
scenario "A task that is not there" for wrist {
  run to end of local
  task "Lunch" ends
  expect deflate all for 10 s allowed
}
`;

const site = (scenarios: Readonly<Record<string, string>>, protocol = cleanProtocol()) =>
  folderWith({ "formulary.limb": FORMULARY, "wrist.limb": protocol, ...scenarios });

const golden = (name: string) => `../golden/test/${name}.txt`;

describe("limb test shows", () => {
  test.each([
    ["passed", [PASSES], [], 0],
    ["passed-verbose", [PASSES], ["--verbose"], 0],
    ["failed", [PASSES, FAILS], [], 1],
    ["failed-verbose", [FAILS], ["--verbose"], 1],
    ["not-decided", [PASSES, IS_OPEN], [], 3],
  ] as const)("what came of each scenario: %s", async (name, scenarios, options, code) => {
    const folder = site({ "cases.limb": HEAD + scenarios.join("\n") });
    const ran = await runLimb(folder, ["test", "cases.limb", ...options]);
    await expect(ran.out).toMatchFileSnapshot(golden(name));
    expect({ code: ran.code, err: ran.err }).toEqual({ code, err: "" });
  });

  test("files with errors, in which no scenario is decided", async () => {
    const folder = site({ "cases.limb": HEAD + replaced(PASSES, "expect dose local", "expect dose locl") });
    const { code, out, err } = await runLimb(folder, ["test"]);
    await expect(out).toMatchFileSnapshot(golden("errors"));
    expect({ code, err }).toEqual({ code: 3, err: "" });
  });
});

describe("the exit code of limb test", () => {
  test("is 1 when one failed, whatever else is not decided", async () => {
    const folder = site({ "one.limb": HEAD + IS_OPEN, "two.limb": HEAD + FAILS });
    expect(await runLimb(folder, ["test"])).toMatchObject({ code: 1 });
  });

  test("is 3 when the protocol has errors, which are not shown to pass anything", async () => {
    const folder = site(
      { "cases.limb": HEAD + PASSES },
      replaced(cleanProtocol(), "deflate all", "deflate al"),
    );
    const { code, out } = await runLimb(folder, ["test", "cases.limb"]);
    expect(code).toBe(3);
    expect(out).toContain("1 not decided, which is not a pass; 0 passed");
  });

  test.each([
    ["no scenario anywhere", ["test", "wrist.limb"], "wrist.limb has no scenario."],
    ["a file that is missing", ["test", "lost.limb"], "lost.limb does not exist."],
    ["an option that is not known", ["test", "--loud"], "--loud"],
  ])("is 2 for %s", async (_, given, words) => {
    const { code, err } = await runLimb(site({}), given);
    expect({ code, words: err.includes(words) }).toEqual({ code: 2, words: true });
  });

  test("is 2 when a file could not be read, also when another one's scenarios passed", async () => {
    const folder = site({ "cases.limb": HEAD + PASSES });
    const { code, out } = await runLimb(folder, ["test", "cases.limb", "lost.limb"]);
    expect(code).toBe(2);
    expect(out).toContain("1 passed");
  });
});

test("scenarios can come from standard input", async () => {
  const { code, out } = await runLimb(site({}), ["test", "-"], { input: HEAD + PASSES });
  expect(out).toContain("standard-input:3:1");
  expect(code).toBe(0);
});

describe("the JSON of limb test", () => {
  const outputs = join(import.meta.dirname, "../../language/outputs");
  const schemaIn = (path: string) => JSON.parse(readFileSync(join(outputs, path), "utf8"));
  const validate = new Ajv2020({ strict: true, strictRequired: false, strictTypes: false })
    .addSchema(schemaIn("findings/findings.schema.json"), "outputs/findings/findings.schema.json")
    .compile({
      $id: "outputs/scenarios/scenarios.schema.json",
      ...schemaIn("scenarios/scenarios.schema.json"),
    });

  async function json(scenarios: string) {
    const { code, out } = await runLimb(site({ "cases.limb": HEAD + scenarios }), ["test", "--json"]);
    return { code, value: JSON.parse(out) };
  }

  test("is what its schema says, and the schema refuses what is not", async () => {
    const { value } = await json(`${PASSES}${FAILS}${IS_OPEN}`);
    validate(value);
    expect(validate.errors).toBeNull();
    expect(validate({ ...value, extra: 1 })).toBe(false);
    const [file] = value.files.filter(({ scenarios }: { scenarios: unknown[] }) => scenarios.length > 0);
    const [scenario] = file.scenarios;
    const without = { ...value, files: [{ ...file, scenarios: [{ ...scenario, outcome: "skipped" }] }] };
    expect(validate(without)).toBe(false);
  });

  test("names what came of each scenario and each line, and every file that was asked for", async () => {
    const { code, value } = await json(`${PASSES}${FAILS}`);
    expect(code).toBe(1);
    expect(value.summary).toEqual({ files: 1, passed: 1, failed: 1, notDecided: 0, withErrors: 0 });
    expect(value.files.map(({ file }: { file: string }) => file).sort()).toEqual([
      "cases.limb",
      "formulary.limb",
      "wrist.limb",
    ]);
    const [, failed] = value.files.find(({ file }: { file: string }) => file === "cases.limb").scenarios;
    expect(failed).toMatchObject({ title: "Released at once", protocol: "wrist", outcome: "failed" });
    expect(failed.lines.map(({ outcome }: { outcome: string }) => outcome)).toEqual([
      "done",
      "done",
      "done",
      "failed",
      "failed",
    ]);
    const [coverage] = value.coverage;
    expect(coverage).toMatchObject({ protocol: "wrist", file: "wrist.limb" });
    expect(coverage.rules).toContainEqual({ rule: "early-release", isTouched: true });
    expect(failed.timeline.lines.at(-1)).toMatchObject({ what: "stage procedure ends" });
  });
});

test("--on says the day that dates are judged on, today if it is not said", async () => {
  const folder = site({ "cases.limb": HEAD + PASSES });
  const dayOf = async (...options: readonly string[]) =>
    JSON.parse((await runLimb(folder, ["test", "cases.limb", "--json", ...options])).out).judgedOn;
  expect(await dayOf()).toBe("2026-11-25");
  expect(await dayOf("--on", "2027-01-31")).toBe("2027-01-31");
  const { code, err } = await runLimb(folder, ["test", "cases.limb", "--on", "31.1.2027"]);
  expect(err).toContain("Write a day of the calendar as YYYY-MM-DD, such as 2027-01-31.");
  expect(code).toBe(2);
});
