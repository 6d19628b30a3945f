import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { join } from "node:path";
import type { Finding, NotJudged, Verdict } from "@limbwright/shared/finding";
import { Ajv2020 } from "ajv/dist/2020.js";
import AjvDraft04 from "ajv-draft-04";
import { describe, expect, test } from "vitest";
import {
  breakingItsOwnProtocol,
  cleanProtocol,
  FORMULARY,
  overdosingProtocol,
  replaced,
  toppedUpProtocol,
} from "./protocols.ts";
import { folderWith, runLimb } from "./run-limb.ts";

const require = createRequire(import.meta.url);

/** A site with an error, an unsafe and an accepted finding, a quick fix, a second protocol and an unreadable file. */
const SITE = {
  "formulary.limb": FORMULARY,
  "local rules/ward.limb": `local-rules ward {
  accept requirement-broken of "One cuff at a time" in accepted because "The old machine is in use" by "Pharmacy" by "Anaesthesia lead" until 2027-01-31
}
`,
  "a.limb": replaced(
    replaced(breakingItsOwnProtocol("accepted"), "status    draft", "status    draft\n  local-rules ward"),
    'use "formulary.limb"',
    'use "formulary.limb"\nuse "local rules/ward.limb"',
  ),
  "b.limb": replaced(overdosingProtocol("wrong"), "over   90 s to 3 min", "over   90 s to 3.0 min"),
  "c.limb": replaced(cleanProtocol("unread"), "at least 30 min", "at least 30"),
  "d.limb": Buffer.from([0xff, 0xfe, 0x61, 0x00]),
};

/** A site with a finding that a run shows. */
const RUN_SITE = { "formulary.limb": FORMULARY, "wrist.limb": toppedUpProtocol() };

interface Findings {
  readonly files: readonly {
    readonly findings: readonly Finding[];
    readonly protocols: readonly {
      readonly verdicts: readonly Verdict[];
      readonly notJudged: readonly NotJudged[];
      readonly faults?: { readonly rows: readonly object[] };
    }[];
  }[];
  readonly unread: readonly { readonly file: string }[];
  readonly summary: object;
}

type Files = Readonly<Record<string, string | Uint8Array>>;

async function json(
  files: Files = SITE,
  options: readonly string[] = [],
): Promise<{ readonly code: number; readonly value: Findings }> {
  const { code, out } = await runLimb(folderWith(files), ["check", "--json", ...options]);
  return { code, value: JSON.parse(out) };
}

describe("the JSON of a check", () => {
  const schema = join(import.meta.dirname, "../../language/outputs/findings/findings.schema.json");
  const validate = new Ajv2020({ strict: true }).compile(JSON.parse(readFileSync(schema, "utf8")));

  test("is what its schema says, and the schema refuses what is not", async () => {
    const { value } = await json();
    validate(value);
    expect(validate.errors).toBeNull();
    expect(validate({ ...value, extra: 1 })).toBe(false);
    expect(validate({ ...value, summary: undefined })).toBe(false);
  });

  test("holds with --faults an answer for each rule and fault, as its schema says", async () => {
    const { value } = await json(RUN_SITE, ["--faults"]);
    validate(value);
    expect(validate.errors).toBeNull();
    const [protocol] = value.files.flatMap(({ protocols }) => protocols);
    expect(protocol?.faults?.rows).toContainEqual(
      expect.objectContaining({ rule: "no-cuff-up", fault: "leak", answer: "breaks" }),
    );
  });

  test("names the tasks that have to be done in time for the proof, as its schema says", async () => {
    const folder = join(import.meta.dirname, "../../examples/tarn-hollow");
    const { out } = await runLimb(folder, ["check", "--json", "protocols/hand-laceration.limb"]);
    const value = JSON.parse(out);
    validate(value);
    expect(validate.errors).toBeNull();
    expect(value.files[0].protocols[0].leansOn).toEqual([
      expect.objectContaining({ text: "Find the leak; change the cuff", seconds: 300 }),
    ]);
  });

  test("holds every line of the run that a finding shows, as its schema says", async () => {
    const { value } = await json(RUN_SITE);
    validate(value);
    expect(validate.errors).toBeNull();
    const lines = value.files.flatMap((file) => file.findings).find(isOverInAll)?.run?.lines ?? [];
    expect(lines.length).toBeGreaterThan(30);
    expect(lines[0]).toMatchObject({ time: "0:00", seconds: 0, kind: "start", what: "apply cuffs" });
    expect(lines.at(-1)).toMatchObject({
      time: "9:00",
      kind: "start",
      what: "inject top-up",
      after: "",
      standing: "proximal confirmed, cannula in, drug in the limb",
      isKey: true,
      isInjected: true,
      origin: { file: "wrist.limb", start: { line: 74, column: 9 } },
    });
  });

  test("holds every finding, verdict and limit", async () => {
    const { code, value } = await json();
    const findings = value.files.flatMap((file) => file.findings);
    expect(findings.map((one) => `${one.origin.file} ${one.rule} ${one.severity}`)).toEqual([
      "a.limb requirement-broken unsafe",
      "b.limb dose-over-maximum unsafe",
      "b.limb trailing-zero doubtful",
      "c.limb unit-missing error",
    ]);
    expect(findings[0]?.accepted).toMatchObject({ by: "Pharmacy and Anaesthesia lead", until: "2027-01-31" });
    const wrong = value.files[1]?.protocols[0];
    expect(wrong?.verdicts).toContainEqual({ rule: "dose-over-maximum", kind: "broken" });
    expect(wrong?.verdicts).toContainEqual({ rule: "amount-disagrees-with-concentration", kind: "holds" });
    expect(wrong?.verdicts).toContainEqual({ rule: "early-release", kind: "holds" });
    expect(wrong?.notJudged.length).toBeGreaterThan(0);
    expect(value.unread).toEqual([expect.objectContaining({ file: "d.limb" })]);
    expect(value.summary).toMatchObject({
      files: 5,
      protocols: 3,
      findings: { error: 1, unsafe: 1, doubtful: 1, advice: 0 },
      accepted: 1,
    });
    expect(code).toBe(2);
  });
});

function isOverInAll({ rule, severity }: Pick<Finding, "rule" | "severity">): boolean {
  return rule === "cumulative-dose-over-maximum" && severity === "unsafe";
}

interface Location {
  readonly physicalLocation: {
    readonly artifactLocation: { readonly uri: string };
    readonly region: Readonly<Record<string, number>>;
  };
}

interface Replacement {
  readonly deletedRegion: { readonly charOffset: number; readonly charLength: number };
  readonly insertedContent: { readonly text: string };
}

interface FlowLocation {
  readonly importance: string;
  readonly location: Location & { readonly message: { readonly text: string } };
}

interface SarifResult {
  readonly ruleId?: string;
  readonly ruleIndex?: number;
  readonly kind: string;
  readonly level: string;
  readonly message: { readonly text: string };
  readonly locations: readonly Location[];
  readonly relatedLocations?: readonly Location[];
  readonly codeFlows?: readonly {
    readonly threadFlows: readonly { readonly locations: readonly FlowLocation[] }[];
  }[];
  readonly fixes?: readonly {
    readonly artifactChanges: readonly { readonly replacements: readonly Replacement[] }[];
  }[];
  readonly suppressions?: readonly { readonly location: Location }[];
}

interface SarifRun {
  readonly columnKind: string;
  readonly tool: {
    readonly driver: {
      readonly rules: readonly {
        readonly id: string;
        readonly help: { readonly markdown?: string };
        readonly defaultConfiguration: { readonly level: string };
      }[];
    };
  };
  readonly results: readonly SarifResult[];
  readonly invocations: readonly {
    readonly executionSuccessful: boolean;
    readonly toolExecutionNotifications: readonly { readonly message: { readonly text: string } }[];
  }[];
}

interface Sarif {
  readonly runs: readonly SarifRun[];
}

async function sarif(files: Files = SITE): Promise<Sarif> {
  return JSON.parse((await runLimb(folderWith(files), ["check", "--sarif"])).out);
}

async function sarifRun(files: Files = SITE): Promise<SarifRun> {
  const [run] = (await sarif(files)).runs;
  if (!run) throw new Error("the SARIF has no run");
  return run;
}

/** The first result of this kind; throws when there is none. */
function result(run: SarifRun, isWanted: (one: SarifResult) => boolean): SarifResult {
  const found = run.results.find(isWanted);
  if (!found) throw new Error("no such result");
  return found;
}

describe("the SARIF of a check", () => {
  test.each([
    ["with findings of the text", SITE],
    ["with a run", RUN_SITE],
  ])("is valid against the schema of SARIF 2.1.0 that OASIS published: %s", async (_, files) => {
    const value = await sarif(files);
    const schema = require("@microsoft/jest-sarif/lib/schemas/sarif-2.1.0-rtm.5.json");
    const ajv = new AjvDraft04({ strict: false, validateFormats: false, unicodeRegExp: false });
    const validate = ajv.compile(schema);
    validate(value);
    expect(validate.errors).toBeNull();
    expect(validate({ ...value, version: "2.2.0" })).toBe(false);
  });

  test("points each result to its rule, with help to read", async () => {
    const { results, tool } = await sarifRun();
    const { rules } = tool.driver;
    const pointed = results.filter((one) => one.ruleId !== undefined);
    expect(pointed.map(({ ruleIndex }) => rules[ruleIndex ?? -1]?.id)).toEqual(
      pointed.map((one) => one.ruleId),
    );
    const rule = rules.find((one) => one.id === "dose-over-maximum");
    expect(rule?.help.markdown).toContain("## Why it matters");
    expect(rule?.defaultConfiguration.level).toBe("error");
  });

  test("marks the words of a finding in UTF-16 columns, and leads to the places that belong to it", async () => {
    const run = await sarifRun();
    const over = result(run, (one) => one.ruleId === "dose-over-maximum" && !one.suppressions);
    expect(run.columnKind).toBe("utf16CodeUnits");
    expect(over).toMatchObject({ kind: "fail", level: "error" });
    expect(over.message.text).toContain(
      "Patients: 45 kg to under 50 kg (worst at 45 kg: 200 mg = 4.44 mg/kg",
    );
    expect(over.locations[0]?.physicalLocation).toMatchObject({
      artifactLocation: { uri: "b.limb" },
      region: { startLine: 31, startColumn: 12, endLine: 31, endColumn: 17 },
    });
    expect(over.relatedLocations?.[0]?.physicalLocation.artifactLocation.uri).toBe("formulary.limb");
  });

  test("leads along the run that shows a finding, line by line", async () => {
    const over = result(await sarifRun(RUN_SITE), (one) => one.ruleId === "cumulative-dose-over-maximum");
    const locations = over.codeFlows?.[0]?.threadFlows[0]?.locations ?? [];
    expect(locations[5]?.location.message.text).toBe("0:00 insert cannula ends: cannula in");
    expect(locations[5]?.importance).toBe("unimportant");
    expect(locations.at(-1)).toMatchObject({
      importance: "essential",
      location: { message: { text: "9:00 inject top-up" }, physicalLocation: { region: { startLine: 74 } } },
    });
    expect(over.message.text).not.toContain("9:00");
  });

  test("offers a mechanical repair as a fix that gives the right text", async () => {
    const zero = result(await sarifRun(), (one) => one.ruleId === "trailing-zero");
    const [replacement] = zero.fixes?.[0]?.artifactChanges[0]?.replacements ?? [];
    const { charOffset = 0, charLength = 0 } = replacement?.deletedRegion ?? {};
    const text = SITE["b.limb"];
    const mended = `${text.slice(0, charOffset)}${replacement?.insertedContent.text}${text.slice(charOffset + charLength)}`;
    expect(mended).toBe(overdosingProtocol("wrong"));
  });

  test("shows an accepted finding as suppressed, with the place of its acceptance", async () => {
    const accepted = result(await sarifRun(), (one) => one.suppressions !== undefined);
    expect(accepted.suppressions?.[0]).toMatchObject({
      status: "accepted",
      justification: "Accepted by Pharmacy and Anaesthesia lead until 2027-01-31: The old machine is in use",
      location: { physicalLocation: { artifactLocation: { uri: "local%20rules/ward.limb" } } },
    });
  });

  test("says that a rule is open which is not decided, and that texts have to be reviewed", async () => {
    const { results } = await sarifRun();
    const open = results.filter((one) => one.kind === "open");
    expect(open.map((one) => one.ruleId)).toContain("early-release");
    expect(new Set(open.map((one) => one.level))).toEqual(new Set(["none"]));
    expect(open.filter((one) => !one.message.text.startsWith("Not decided, which is not a pass: "))).toEqual(
      [],
    );
    expect(results.filter((one) => one.kind === "review")).toHaveLength(3);
  });

  test("says that a file was not read", async () => {
    const [invocation] = (await sarifRun()).invocations;
    expect(invocation?.executionSuccessful).toBe(false);
    expect(invocation?.toolExecutionNotifications[0]?.message.text).toContain(
      "d.limb cannot be read as text",
    );
  });
});
