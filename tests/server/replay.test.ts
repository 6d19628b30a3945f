import { readFileSync } from "node:fs";
import { join } from "node:path";
import { Ajv2020 } from "ajv/dist/2020.js";
import { describe, expect, test } from "vitest";
import { stepFrom } from "../runtime/event-from.ts";
import { folderWith, runLimb } from "./run-limb.ts";

const ROOT = join(import.meta.dirname, "../..");
const GOLDEN = join(ROOT, "tests/golden/replay");
const HOSPITAL = "examples/tarn-hollow";
const PROTOCOL = ["--protocol", join(ROOT, HOSPITAL, "protocols/wrist-reduction.limb")];
const cases = (name: string) => readFileSync(join(ROOT, HOSPITAL, "cases", name), "utf8");

const AS_WRITTEN = cases("as-written.csv");
const DEVIATES = cases("with-deviations.csv");

/** Replays records with the protocol of the example hospital. */
function replay(files: Readonly<Record<string, string>>, ...more: string[]) {
  const folder = folderWith(files);
  const workspace = ["--workspace", join(ROOT, HOSPITAL)];
  return runLimb(folder, ["replay", ...Object.keys(files), ...PROTOCOL, ...workspace, ...more]);
}

test("the example cases are told as they always were", async () => {
  const given = ["replay", `${HOSPITAL}/cases`, "--protocol", `${HOSPITAL}/protocols/wrist-reduction.limb`];
  const text = await runLimb(ROOT, [...given, "--verbose"]);
  await expect(text.out).toMatchFileSnapshot(join(GOLDEN, "examples.txt"));
  const json = await runLimb(ROOT, [...given, "--json"]);
  await expect(json.out).toMatchFileSnapshot(join(GOLDEN, "examples.json"));
  expect([text.code, json.code, text.err, json.err]).toEqual([1, 1, "", ""]);
});

test("a case as the protocol says ends with 0, one with deviations with 1", async () => {
  expect((await replay({ "a.csv": AS_WRITTEN })).code).toBe(0);
  expect((await replay({ "a.csv": DEVIATES })).code).toBe(1);
});

test("a case that cannot be judged is not as the protocol says: 3", async () => {
  const { code, out } = await replay({ "a.csv": AS_WRITTEN.replace(/^.*weight.*\n/m, "") });
  expect(out).toContain("Not judged, which is not a pass:");
  expect(out).toContain("0 as the protocol says, 0 with deviations, 1 not judged.");
  expect(code).toBe(3);
});

test("what is no case record is said to be none, and the others are judged: 2", async () => {
  const { code, out, err } = await replay({ "a.csv": AS_WRITTEN, "b.csv": "just some text\n" });
  expect(err).toContain("limb: b.csv is no case record");
  expect(out).toContain("1 as the protocol says");
  expect(code).toBe(2);
});

test("files, folders and standard input are read alike", async () => {
  const folder = folderWith({ "day/one.csv": AS_WRITTEN, "day/two.jsonl": '{"case":"B","event":"note"}\n' });
  const workspace = ["--workspace", join(ROOT, HOSPITAL)];
  const given = ["replay", "day", "-", ...PROTOCOL, ...workspace];
  const { out, code } = await runLimb(folder, given, { input: DEVIATES });
  expect(out.replace(/\s+/g, " ")).toContain(
    "from 3 files: 1 as the protocol says, 1 with deviations, 1 not judged.",
  );
  expect(code).toBe(1);
});

test("a rule file serves as the protocol does", async () => {
  const folder = folderWith({ "a.csv": DEVIATES });
  const from = join(ROOT, HOSPITAL, "protocols/wrist-reduction.limb");
  await runLimb(ROOT, ["compile", from, "--draft", "--out", join(folder, "wrist.json")]);
  const compiled = await runLimb(folder, ["replay", "a.csv", "--protocol", "wrist.json"]);
  expect(compiled.out).toContain("1 with deviations");
  const broken = await runLimb(folder, ["replay", "a.csv", "--protocol", "a.csv"]);
  expect(broken).toMatchObject({ code: 2, out: "" });
  expect(broken.err).toContain("a.csv is no whole rule file");
});

test.each([
  ["draft", "status draft", "Nobody has approved the protocol: it is a draft."],
  ["retired", "status retired", "The protocol is retired."],
])(
  "a protocol that is %s is replayed, and that is said at the head of the report",
  async (_, status, words) => {
    const text = readFileSync(join(ROOT, HOSPITAL, "protocols/wrist-reduction.limb"), "utf8");
    const folder = folderWith({
      "a.csv": AS_WRITTEN,
      "protocols/wrist.limb": text.replace(/^ *status .*$/m, `  ${status}`),
      "formulary.limb": readFileSync(join(ROOT, HOSPITAL, "formulary.limb"), "utf8"),
      "local-rules.limb": readFileSync(join(ROOT, HOSPITAL, "local-rules.limb"), "utf8"),
      "routines.limb": readFileSync(join(ROOT, HOSPITAL, "routines.limb"), "utf8"),
    });
    const given = ["replay", "a.csv", "--protocol", "protocols/wrist.limb", "--workspace", "."];
    const { out, code } = await runLimb(folder, given);
    expect(out).toMatch(/^This protocol is not one to follow as it stands:\n/);
    expect(out.replace(/\s+/g, " ")).toContain(words);
    expect(code).toBe(0);
    const json = JSON.parse((await runLimb(folder, [...given, "--json"])).out);
    expect(json.against.map((one: { words: string }) => one.words)).toEqual([words]);
  },
);

describe("a case is held to the day on which it happened", () => {
  const text = readFileSync(join(ROOT, HOSPITAL, "protocols/wrist-reduction.limb"), "utf8");
  const inHospital = (file: string) => readFileSync(join(ROOT, HOSPITAL, file), "utf8");
  const APPROVED = 'status approved by "Drugs committee" on 2026-02-01';

  /** Replays cases of the given days, or of none, with a protocol of which the review was due on a day. */
  async function replayedOn(
    days: readonly (string | undefined)[],
    { review = "2026-04-30", rules = "", require = "", more = [] as readonly string[] } = {},
  ) {
    const rows = AS_WRITTEN.split("\n").slice(1).join("\n");
    const records = days.map((day, at) => {
      const own = rows.replaceAll("TH-000001", `TH-${at}`);
      return own.replace(/2026-03-02T(\d\d:\d\d:\d\d)Z/g, day === undefined ? "$1" : `${day}T$1Z`);
    });
    const folder = folderWith({
      "a.csv": `${AS_WRITTEN.split("\n")[0]}\n${records.join("")}`,
      "protocols/wrist.limb": text
        .replace(/^ *status .*$/m, `  ${APPROVED}`)
        .replace(/^ *review by .*$/m, `  review by ${review}`)
        .replace("  prepare {", `  ${require}\n  prepare {`),
      "formulary.limb": inHospital("formulary.limb"),
      "local-rules.limb": inHospital("local-rules.limb").replace(/\}\s*$/, `${rules}\n}\n`),
      "routines.limb": inHospital("routines.limb"),
    });
    const given = ["replay", "a.csv", "--protocol", "protocols/wrist.limb", "--workspace", "."];
    const plain = await runLimb(folder, [...given, ...more]);
    const json = JSON.parse((await runLimb(folder, [...given, "--json"])).out);
    return { out: plain.out.replace(/\s+/g, " "), json, code: plain.code };
  }

  const OVERDUE = "The protocol was to be reviewed by 2026-04-30, which is past.";
  const NOT_YET = "The protocol is approved from 2026-02-01 on, which has not come.";

  test("and told once for each reason, with how many cases", async () => {
    const days = ["2026-01-15", "2026-03-02", "2026-04-30", "2026-05-01", "2026-07-09"];
    const { out, json, code } = await replayedOn(days);
    expect(out).not.toContain("This protocol is not one to follow as it stands");
    expect(out).toContain("On the day of the case this protocol was not one to follow:");
    expect(out).toContain(`- ${OVERDUE} (2 cases)`);
    expect(out).toContain(`- ${NOT_YET} (1 case)`);
    expect(out).toContain("it is not said to have been safe");
    expect(json.against).toEqual([]);
    expect(json.summary.against).toEqual([
      { kind: "overdue", words: OVERDUE, cases: 2 },
      { kind: "not-approved", words: NOT_YET, cases: 1 },
    ]);
    const told = json.cases.map((one: { day: string; against?: { kind: string }[] }) => [
      one.day,
      one.against?.map(({ kind }) => kind),
    ]);
    expect(told).toEqual([
      ["2026-01-15", ["not-approved"]],
      ["2026-03-02", undefined],
      ["2026-04-30", undefined],
      ["2026-05-01", ["overdue"]],
      ["2026-07-09", ["overdue"]],
    ]);
    expect(code).toBe(0);
  });

  test("and not to the day of the replay, on which the protocol is overdue", async () => {
    const { out, json } = await replayedOn(["2026-03-02"]);
    expect(out).not.toMatch(/not one to follow|to be reviewed|no date/);
    expect(json.summary).toMatchObject({ against: [], withoutDate: 0 });
  });

  test("but without a date to that of the replay, which is said", async () => {
    const { out, json } = await replayedOn(["2026-03-02", undefined]);
    expect(out).toContain(`- ${OVERDUE} (1 case)`);
    expect(out).toContain(
      "1 case has no date: whether the protocol was in date then is judged by the day of this replay, 2026-11-25.",
    );
    expect(json.cases.map((one: { day?: string }) => one.day)).toEqual(["2026-03-02", undefined]);
    expect(json.summary.withoutDate).toBe(1);
  });

  test("with --verbose each is told with its day", async () => {
    const { out } = await replayedOn(["2026-05-01"], { more: ["--verbose"] });
    expect(out).toContain(`On 2026-05-01: ${OVERDUE}`);
  });

  test("when an acceptance of something unsafe had ended, or was not yet one", async () => {
    const { json } = await replayedOn(["2025-01-15", "2026-03-31", "2026-04-01"], {
      review: "2027-01-31",
      require: 'require "Never so" { never drug in limb and since first inflation over 10 min }',
      rules:
        'accept requirement-broken of "Never so" because "Trial" by "Lead" by "Pharmacy" until 2026-03-31',
    });
    const kinds = json.cases.map((one: { against?: { words: string }[] }) =>
      (one.against ?? []).map(({ words }) => /(ended on|ends on|approved from) [\d-]+/.exec(words)?.[0]),
    );
    expect(kinds).toEqual([["approved from 2026-02-01", "ends on 2026-03-31"], [], ["ended on 2026-03-31"]]);
  });

  test("what is unsafe on every day stands at the head, and is not counted case by case", async () => {
    const { out, json } = await replayedOn(["2026-03-02", "2026-05-01"], {
      review: "2027-01-31",
      require: 'require "Never so" { never drug in limb and since first inflation over 10 min }',
    });
    expect(out).toMatch(/^This protocol is not one to follow as it stands: - `requirement-broken`/);
    expect(json.against.map(({ kind }: { kind: string }) => kind)).toEqual(["broken"]);
    expect(json.summary.against).toEqual([]);
  });
});

describe("what says who somebody is", () => {
  const NAMES = ["Patient Name", "date_of_birth", "MRN", "NHS number", "Address", "Phone", "e-mail"];

  test("is dropped by the name of its column, and said once", async () => {
    const [head, ...rows] = AS_WRITTEN.trimEnd().split("\n");
    const secret = NAMES.map((_, index) => `SECRET-${index}`);
    const text = [`${head},${NAMES.join(",")}`, ...rows.map((row) => `${row},${secret.join(",")}`)].join(
      "\n",
    );
    for (const more of [[], ["--json"], ["--verbose"]]) {
      const { code, out, err } = await replay({ "a.csv": `${text}\n` }, ...more);
      expect(`${out}${err}`).not.toContain("SECRET");
      for (const name of NAMES) expect(out.replace(/\s+/g, " ").split(name)).toHaveLength(2);
      expect(code).toBe(0);
    }
  });

  test("is dropped as an event and as a member, too", async () => {
    const rows = `${AS_WRITTEN}TH-000001,,Patient Name,SECRET-1\n`;
    const json = '{"case":"B","time":1,"event":"start","value":"apply cuffs","surname":"SECRET-2"}\n';
    const { out, err } = await replay({ "a.csv": rows, "b.jsonl": json }, "--json");
    expect(`${out}${err}`).not.toContain("SECRET");
    expect(out).toContain('"surname"');
  });
});

test("events may be those of the published vocabulary as they stand there", async () => {
  const rows = AS_WRITTEN.trimEnd()
    .split("\n")
    .slice(1)
    .map((row) => {
      const [id, time, kind = "", ...rest] = row.split(",");
      const step = rest.join(",").replace(/^"|"$/g, "").replaceAll('""', '"');
      const event =
        kind === "start" || kind === "end"
          ? { event: { kind, step: stepFrom(step) } }
          : { event: kind, value: step };
      return JSON.stringify({ case: id, ...(time !== "" && { time }), ...event });
    });
  const { code, out } = await replay({ "a.jsonl": `${rows.join("\n")}\n` });
  expect(out).toContain("1 as the protocol says");
  expect(code).toBe(0);
});

test("which cuff may stand in a column of its own", async () => {
  const text = AS_WRITTEN.replace("value", "value,cuff").replace(
    /(?<=\n)(.*,)(inflate|confirm|deflate) (distal|proximal|all)( for 10 s)?\n/g,
    "$1$2$4,$3\n",
  );
  const filled = text.replace(/(?<=\n)(?!.*,(?:distal|proximal|all)\n)(.+)\n/g, "$1,\n");
  expect(filled).toContain(",deflate for 10 s,all\n");
  expect((await replay({ "a.csv": filled })).out).toContain("1 as the protocol says");
});

test("the JSON is what its schema says, and the schema refuses what is not", async () => {
  const outputs = join(ROOT, "language/outputs");
  const schemaIn = (path: string) => JSON.parse(readFileSync(join(outputs, path), "utf8"));
  const validate = new Ajv2020({ strict: true, strictRequired: false, strictTypes: false })
    .addSchema(schemaIn("findings/findings.schema.json"), "outputs/findings/findings.schema.json")
    .compile({ $id: "outputs/replay/replay.schema.json", ...schemaIn("replay/replay.schema.json") });
  const broken = `${DEVIATES}TH-000002,,weight\nTH-000002,1,start,apply cuffs\nTH-000002,soon,end,apply cuffs\n`;
  const { out } = await replay({ "a.csv": broken, "none.csv": "nothing\n" }, "--json");
  const value = JSON.parse(out);
  validate(value);
  expect(validate.errors).toBeNull();
  expect(value.cases).toHaveLength(2);
  expect(value.unread).toHaveLength(1);
  expect(validate({ ...value, extra: 1 })).toBe(false);
  const [first] = value.cases;
  expect(validate({ ...value, cases: [{ ...first, outcome: "fine" }] })).toBe(false);
  const empty = JSON.parse((await replay({ "none.csv": "nothing\n" }, "--json")).out);
  validate(empty);
  expect(validate.errors).toBeNull();
});

test("the help has an example and the exit codes", async () => {
  const { out } = await runLimb(ROOT, ["replay", "--help"]);
  expect(out).toContain("limb replay cases/monday.csv --protocol wrist-reduction.limb");
  expect(out).toContain("Exit codes: 0 every case is as the protocol says;");
});
