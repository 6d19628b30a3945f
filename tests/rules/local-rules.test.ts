import { readFileSync } from "node:fs";
import { join } from "node:path";
import { checkFiles, type FileCheck, ruleList, Site } from "@limbwright/language";
import { describe, expect, test } from "vitest";

function replaced(text: string, part: string, by: string): string {
  if (!text.includes(part)) throw new Error(`the text has no "${part}"`);
  return text.replace(part, by);
}

const BASE = join(import.meta.dirname, "base");
const base = (file: string) => readFileSync(join(BASE, file), "utf8");

interface Hospital {
  /** The lines of its local rules. */
  readonly rules: string;
  /** The target pressure of the protocol; the base's own when left out. */
  readonly pressure?: string;
  /** The amount of the dose, and how long it is given over at least. */
  readonly amount?: string;
  readonly over?: string;
  /** What is changed in the text of the protocol. */
  readonly changes?: readonly (readonly [string, string])[];
  readonly status?: string;
  readonly on?: string;
  /** The files that are asked for, `protocol.limb` alone when left out. */
  readonly files?: readonly string[];
  /** Further protocols, by their name, with the amounts of their doses. */
  readonly others?: Readonly<Record<string, string>>;
}

function checked({
  rules,
  pressure,
  amount,
  over,
  status,
  on,
  files,
  others,
  changes = [],
}: Hospital): FileCheck[] {
  const protocol = (name: string, dose: string) =>
    base("protocol.limb")
      .replace("protocol wrist-reduction", `protocol ${name}`)
      .replace(/pressure greater of .*/, `pressure ${pressure ?? "systolic + 100 mmHg"}`)
      .replace(/status +draft/, `status ${status ?? "draft"}`)
      .replace(/amount 3 mg\/kg up to 200 mg/, `amount ${dose}`)
      .replace("90 s to 3 min", `${over ?? "90 s"} to 3 min`);
  const texts = new Map([
    ["formulary.limb", base("formulary.limb")],
    ["local-rules.limb", `local-rules tarn-hollow {\n${rules}\n}\n`],
    [
      "protocol.limb",
      changes.reduce(
        (text, [part, by]) => replaced(text, part, by),
        protocol("wrist-reduction", amount ?? "3 mg/kg up to 200 mg"),
      ),
    ],
    ...Object.entries(others ?? {}).map(([name, dose]) => [`${name}.limb`, protocol(name, dose)] as const),
  ]);
  const site = new Site((file) => texts.get(file));
  return [...checkFiles(site, files ?? ["protocol.limb"], { on: on ?? "2026-11-25" })];
}

function findingsOf(hospital: Hospital, rule: string) {
  return checked(hospital).flatMap(({ findings }) => findings.filter((finding) => finding.rule === rule));
}

function verdictOf(hospital: Hospital, rule: string): string | undefined {
  const [protocol] = checked(hospital).flatMap(({ protocols }) => protocols);
  return protocol?.verdicts.find((verdict) => verdict.rule === rule)?.kind;
}

function errorsOf(hospital: Hospital): string[] {
  return checked(hospital).flatMap(({ findings }) =>
    findings.filter(({ severity }) => severity === "error").map(({ rule, what }) => `${rule}: ${what}`),
  );
}

const MARGIN = "pressure-margin-too-small";
const REASON = 'because "Wide contoured cuffs, own audit 2026" by "Clinical governance"';

describe("a parameter of local rules", () => {
  test("that is tighter counts without a word", () => {
    const rules = `  set ${MARGIN}.margin 120 mmHg`;
    expect(errorsOf({ rules })).toEqual([]);
    const [finding] = findingsOf({ rules }, MARGIN);
    expect(finding?.what).toContain("systolic + 120 mmHg (local rules tarn-hollow)");
  });

  test("that is looser counts with a reason and a role", () => {
    const hospital = { rules: `  set ${MARGIN}.margin 75 mmHg ${REASON}`, pressure: "systolic + 75 mmHg" };
    expect(errorsOf(hospital)).toEqual([]);
    expect(verdictOf(hospital, MARGIN)).toBe("holds");
    expect(verdictOf({ ...hospital, pressure: "systolic + 74 mmHg" }, MARGIN)).toBe("broken");
  });

  test.each(["", 'because "Own audit"', 'by "Clinical governance"', 'because " " by "Clinical governance"'])(
    "that is looser is refused without both, and the standard is used: %j",
    (reason) => {
      const hospital = { rules: `  set ${MARGIN}.margin 75 mmHg ${reason}`, pressure: "systolic + 75 mmHg" };
      expect(errorsOf(hospital)).toEqual([
        expect.stringMatching(/^parameter-not-allowed: 75 mmHg is looser/),
      ]);
      expect(findingsOf(hospital, MARGIN)[0]?.what).toContain("less than systolic + 100 mmHg:");
    },
  );

  test("that is past the bound is refused with any reason, and the standard is used", () => {
    const hospital = { rules: `  set ${MARGIN}.margin 49 mmHg ${REASON}`, pressure: "systolic + 50 mmHg" };
    expect(errorsOf(hospital)).toEqual([expect.stringContaining("passes the bound of `margin`, 50 mmHg")]);
    expect(findingsOf(hospital, MARGIN)[0]?.what).toContain("less than systolic + 100 mmHg:");
    const atBound = { ...hospital, rules: `  set ${MARGIN}.margin 50 mmHg ${REASON}` };
    expect(errorsOf(atBound)).toEqual([]);
    expect(verdictOf(atBound, MARGIN)).toBe("holds");
  });

  test("that is a ceiling can only be lowered", () => {
    const rule = "pressure-over-ceiling";
    expect(errorsOf({ rules: `  set ${rule}.arm-and-calf 280 mmHg` })).toEqual([]);
    expect(errorsOf({ rules: `  set ${rule}.arm-and-calf 310 mmHg ${REASON}` })).toHaveLength(1);
    expect(
      findingsOf({ rules: `  set ${rule}.arm-and-calf 270 mmHg` }, rule).map(({ what }) => what),
    ).toEqual([
      expect.stringContaining("systolic over 170 mmHg to 180 mmHg"),
      expect.stringContaining("is over 270 mmHg"),
    ]);
  });

  test.each([
    ["action-time", "61 s", "59 s", "60 s"],
    ["cuff-action-time", "16 s", "14 s", "15 s"],
    ["child-age", "17 years", "11 years", "12 years"],
    ["child-age", "18 years", "19 years", "18 years"],
    ["nothing-prepared.staff", "3", "1", "2"],
    ["nothing-prepared.interval", "3 min", "11 min", "10 min"],
    ["recovery-too-short.minimum", "45 min", "19 min", "20 min"],
    ["deflation-too-long.maximum", "20 s", "61 s", "60 s"],
    ["swap-before-onset.minimum", "10 min", "2 min", "3 min"],
    ["no-methaemoglobinaemia-plan.unsafe-from", "500 mg", "700 mg", "600 mg"],
  ])("of several rules or of one has a bound that no reason moves: %s", (name, within, past, bound) => {
    expect(errorsOf({ rules: `  set ${name} ${within}` })).toEqual([]);
    const short = name.split(".").at(-1);
    expect(errorsOf({ rules: `  set ${name} ${past} ${REASON}` })).toEqual([
      expect.stringMatching(`^parameter-not-allowed: ${past} passes the bound of \`${short}\`, ${bound};`),
    ]);
  });

  test("that is of several rules and looser needs a reason and a role", () => {
    expect(errorsOf({ rules: "  set child-age 14 years" })).toEqual([
      expect.stringMatching(/^parameter-not-allowed: 14 years is looser than the standard, 16 years,/),
    ]);
    expect(errorsOf({ rules: `  set child-age 14 years ${REASON}` })).toEqual([]);
  });

  test("that has no tighter side needs a reason on either side, and ends on both", () => {
    const usual = "volume-not-usual-for-limb.upper-arm";
    for (const value of ["35 mL", "45 mL"]) {
      expect(errorsOf({ rules: `  set ${usual} ${value}` })).toEqual([
        expect.stringContaining(`${value} is another than the standard, 40 mL, and lacks a reason`),
      ]);
      expect(errorsOf({ rules: `  set ${usual} ${value} ${REASON}` })).toEqual([]);
    }
    expect(errorsOf({ rules: `  set ${usual} 40 mL` })).toEqual([]);
    expect(errorsOf({ rules: `  set ${usual} 29 mL ${REASON}` })).toHaveLength(1);
    expect(errorsOf({ rules: `  set ${usual} 61 mL ${REASON}` })).toHaveLength(1);
  });

  test("that is refused moves no run: a shorter time of action is judged as the standard", () => {
    const release = (rules: string) =>
      checked({ rules }).flatMap(({ protocols }) =>
        protocols.map(({ explored: { runs } }) => (runs.kind === "explored" ? runs.envelope : undefined)),
      );
    expect(release("  set action-time 1 s")).not.toEqual([undefined]);
    expect(release("  set action-time 1 s")).toEqual(release("  set action-time 60 s"));
    expect(release("  set action-time 90 s")).not.toEqual(release("  set action-time 60 s"));
  });

  test("in a unit that does not fit is refused", () => {
    expect(errorsOf({ rules: `  set ${MARGIN}.margin 75 min` })).toEqual([
      expect.stringMatching(/^unit-mismatch: `margin` takes a pressure/),
    ]);
    expect(errorsOf({ rules: `  set ${MARGIN}.margin wide` })).toEqual([
      expect.stringMatching(/^unit-mismatch/),
    ]);
  });

  test("that is set twice is told, and the first counts", () => {
    const rules = `  set ${MARGIN}.margin 110 mmHg\n  set ${MARGIN}.margin 120 mmHg`;
    expect(errorsOf({ rules })).toEqual([expect.stringMatching(/^statement-twice/)]);
    expect(findingsOf({ rules }, MARGIN)[0]?.what).toContain("systolic + 110 mmHg");
  });

  test.each([
    ["set pressure-margin-to-small.margin 120 mmHg", "`pressure-margin-too-small`"],
    [`set ${MARGIN}.margn 120 mmHg`, "`margin`"],
    ["set acton-time 45 s", "`action-time`"],
    ['accept dose-wihout-cap because "x" by "y" until 2027-01-31', "`dose-without-cap`"],
  ])("or a rule that does not exist is named with the one that was meant: %s", (line, meant) => {
    const [finding] = findingsOf({ rules: `  ${line}` }, "name-unknown");
    expect(finding?.next).toBe(`Did you mean ${meant}?`);
  });

  test("of no rule moves what several rules judge by", () => {
    const rule = "pressure-over-ceiling";
    expect(verdictOf({ rules: "  set action-time 75 s" }, rule)).toBe("holds");
    expect(findingsOf({ rules: "  set child-age 18 years" }, rule)[0]?.patients?.ranges).toEqual([
      "age 16 to 17 years",
    ]);
  });
});

const CAP = "dose-without-cap";
const accepts = (what: string, until = "2027-01-31") =>
  `  accept ${what} because "Box ends at 66 kg" by "Pharmacy" until ${until}`;

describe("an accepted finding", () => {
  const hospital = { rules: accepts(CAP), amount: "2 mg/kg" };

  test("is still found, with its acceptance", () => {
    const [finding] = findingsOf(hospital, CAP);
    expect(finding?.accepted).toMatchObject({
      because: "Box ends at 66 kg",
      by: "Pharmacy",
      until: "2027-01-31",
      origin: { file: "local-rules.limb" },
    });
    expect(verdictOf(hospital, CAP)).toBe("broken");
  });

  test("counts again the day after its acceptance ended, and the end is told", () => {
    const lastDay = { ...hospital, on: "2027-01-31" };
    expect(findingsOf(lastDay, CAP)[0]?.accepted).toBeDefined();
    expect(findingsOf(lastDay, "acceptance-expired")).toEqual([]);
    const dayAfter = { ...hospital, on: "2027-02-01" };
    expect(findingsOf(dayAfter, CAP)[0]?.accepted).toBeUndefined();
    expect(findingsOf(dayAfter, "acceptance-expired")[0]?.what).toContain("ended on 2027-01-31");
  });

  test("of one protocol is not accepted in another", () => {
    const others = { ankle: "2 mg/kg" };
    const files = ["ankle.limb", "protocol.limb"];
    const found = findingsOf({ ...hospital, rules: accepts(`${CAP} in ankle`), others, files }, CAP);
    expect(found.map(({ protocol, accepted }) => [protocol, accepted !== undefined])).toEqual([
      ["ankle", true],
      ["wrist-reduction", false],
    ]);
  });

  test("no longer stands in the way of an approval", () => {
    const approved = { over: "30 s", status: 'approved by "Anaesthesia lead" on 2026-10-01' };
    const [finding] = findingsOf({ ...approved, rules: "" }, "approved-with-findings");
    expect(finding?.what).toContain("injection-too-fast");
    const rules = accepts("injection-too-fast");
    expect(verdictOf({ ...approved, rules }, "approved-with-findings")).toBe("holds");
  });

  test.each(["no-cuff-up", "early-release", "bands-leave-gap", "acceptance-unused", "trailing-zero-not"])(
    "cannot be of a rule that nobody may accept, or that does not exist: %s",
    (rule) => {
      expect(errorsOf({ rules: accepts(rule) })).toHaveLength(1);
    },
  );
});

describe("an acceptance goes too far", () => {
  const FAR = "acceptance-goes-too-far";
  const REQUIRED = "requirement-broken";
  /** A requirement of the hospital's own that nothing keeps. */
  const broken: Pick<Hospital, "changes"> = {
    changes: [
      ["  emergency toxicity", '  require "Never" {\n    never drug in limb\n  }\n\n  emergency toxicity'],
    ],
  };
  const judged = (hospital: Hospital, rule: string) =>
    findingsOf(hospital, rule).map(({ accepted, severity }) => [severity, accepted !== undefined]);

  test("of what is unsafe after a year, and then it covers nothing", () => {
    const within = { ...broken, rules: accepts(REQUIRED, "2027-11-25") };
    expect(judged(within, REQUIRED)).toEqual([["unsafe", true]]);
    expect(judged(within, FAR)).toEqual([]);
    const beyond = { ...broken, rules: accepts(REQUIRED, "2027-11-26") };
    expect(judged(beyond, REQUIRED)).toEqual([["unsafe", false]]);
    expect(findingsOf(beyond, FAR).map(({ what }) => what)).toEqual([
      "`requirement-broken` is accepted until 2027-11-26. What is unsafe can be accepted for a year at most, so this covers nothing.",
    ]);
    expect(judged({ ...beyond, on: "2026-11-26" }, REQUIRED)).toEqual([["unsafe", true]]);
  });

  test("also where nothing is found that it would cover", () => {
    expect(judged({ rules: accepts(REQUIRED, "2036-01-01") }, FAR)).toEqual([["unsafe", false]]);
  });

  test("of what is milder after three years", () => {
    const hospital = { rules: accepts(CAP, "2029-11-25"), amount: "2 mg/kg" };
    expect(judged(hospital, CAP)).toEqual([["advice", true]]);
    expect(judged(hospital, FAR)).toEqual([]);
    const beyond = { ...hospital, rules: accepts(CAP, "2029-11-26") };
    expect(judged(beyond, CAP)).toEqual([["advice", false]]);
    expect(findingsOf(beyond, FAR)[0]?.next).toContain("Write a day up to 2029-11-25");
  });

  test("on the day after February of a leap year not a day later than in others", () => {
    const leap = { ...broken, on: "2028-02-29" };
    expect(judged({ ...leap, rules: accepts(REQUIRED, "2029-02-28") }, FAR)).toEqual([]);
    expect(judged({ ...leap, rules: accepts(REQUIRED, "2029-03-01") }, FAR)).toHaveLength(1);
  });

  test("where a rule finds what is unsafe and only what is doubtful can be accepted", () => {
    const PREPARED = "nothing-prepared";
    const rules = accepts(PREPARED);
    const doubtful = { rules, changes: [["    site-marked\n", ""]] as const };
    expect(judged(doubtful, PREPARED)).toEqual([["doubtful", true]]);
    expect(judged(doubtful, FAR)).toEqual([]);
    const unsafe = { rules, changes: [["    iv-access   other-limb\n", ""]] as const };
    expect(judged(unsafe, PREPARED)).toEqual([["unsafe", false]]);
    expect(findingsOf(unsafe, FAR)[0]?.label).toBe("does not cover what is unsafe");
  });

  test("of another protocol is not told here", () => {
    expect(judged({ rules: accepts(`${REQUIRED} in ankle`, "2036-01-01") }, FAR)).toEqual([]);
  });

  test("and of what nobody may accept is an error, whoever accepts it and until when", () => {
    const rules = accepts("dose-over-maximum", "2027-01-31").replace("Pharmacy", "anyone");
    expect(errorsOf({ rules })).toEqual([
      "parameter-not-allowed: A finding of `dose-over-maximum` cannot be accepted.",
    ]);
    expect(judged({ rules, amount: "40 mL" }, "dose-over-maximum")).toEqual([["unsafe", false]]);
  });

  test("for few rules only is anything unsafe accepted at all", () => {
    const unsafe = ruleList.filter(
      ({ severity, isUnsafeAcceptable }) => severity === "unsafe" && isUnsafeAcceptable,
    );
    expect(unsafe.map(({ id }) => id)).toEqual([
      "number-badly-written",
      "requirement-broken",
      "timer-claim-broken",
    ]);
    const bounded = ruleList.filter(
      ({ severity, parameters }) =>
        severity === "unsafe" && parameters.some(({ bound }) => bound !== undefined),
    );
    expect(bounded.filter(({ isUnsafeAcceptable }) => isUnsafeAcceptable)).toEqual([]);
  });
});

describe("an acceptance that is not needed", () => {
  const UNUSED = "acceptance-unused";
  const BOTH = ["local-rules.limb", "protocol.limb"];

  test("by the one protocol that it is for is told", () => {
    const rules = accepts(`${CAP} in wrist-reduction`);
    expect(findingsOf({ rules }, UNUSED)[0]?.what).toContain("finds nothing in `wrist-reduction`");
    expect(findingsOf({ rules, amount: "2 mg/kg" }, UNUSED)).toEqual([]);
  });

  test("by any protocol is told when the local rules are checked with them", () => {
    const [finding] = findingsOf({ rules: accepts(CAP), files: BOTH }, UNUSED);
    expect(finding?.origin.file).toBe("local-rules.limb");
    expect(finding?.what).toContain("the one checked protocol with these local rules");
    expect(findingsOf({ rules: accepts(CAP) }, UNUSED)).toEqual([]);
    expect(findingsOf({ rules: accepts(CAP), files: ["local-rules.limb"] }, UNUSED)).toEqual([]);
  });

  test("by one protocol but by another is kept", () => {
    const files = ["local-rules.limb", "protocol.limb", "ankle.limb"];
    expect(findingsOf({ rules: accepts(CAP), files, others: { ankle: "2 mg/kg" } }, UNUSED)).toEqual([]);
    const neither = { rules: accepts(CAP), files, others: { ankle: "2 mg/kg up to 100 mg" } };
    expect(findingsOf(neither, UNUSED)[0]?.what).toContain("any of the 2 checked protocols");
  });

  test("is never one of a rule that is not decided", () => {
    const decided = { rules: accepts("unstaged-release"), files: BOTH };
    const unread = { ...decided, status: "tentative" };
    expect(verdictOf(decided, "unstaged-release")).toBe("holds");
    expect(findingsOf(decided, UNUSED)).toHaveLength(1);
    expect(verdictOf(unread, "unstaged-release")).toBe("not-decided");
    expect(findingsOf(unread, UNUSED)).toEqual([]);
    const here = { rules: accepts("unstaged-release in wrist-reduction"), status: "tentative" };
    expect(findingsOf(here, UNUSED)).toEqual([]);
  });

  test("is told as ended, not as unused, once it has ended", () => {
    const hospital = { rules: accepts(CAP, "2026-11-24"), files: BOTH };
    expect(findingsOf(hospital, UNUSED)).toEqual([]);
    expect(findingsOf(hospital, "acceptance-expired")).toHaveLength(1);
  });
});

test("the whole example of the language, with its local rules, has nothing to mend", () => {
  const rules = `  set ${MARGIN}.margin 75 mmHg ${REASON}
  set action-time 75 s
  accept ${CAP} in ankle-reduction because "Box ends at 66 kg" by "Pharmacy" until 2027-01-31`;
  const files = ["formulary.limb", "local-rules.limb", "protocol.limb"];
  const findings = checked({ rules, files, pressure: "greater of systolic + 100 mmHg and 250 mmHg" }).flatMap(
    (check) => check.findings,
  );
  expect(findings.filter(({ severity }) => severity !== "advice")).toEqual([]);
});

test("the unit of a setting that is not how the language writes it is told once, one it does not know with where to look", () => {
  const said = (rules: string) =>
    checked({ rules }).flatMap(({ findings }) => findings.map(({ rule, what }) => `${rule}: ${what}`));
  expect(said("set action-time 75 sec")).toEqual([
    "unit-not-known: `sec` is not how the language writes this unit.",
  ]);
  expect(said("set action-time 75 sx")).toEqual([
    "unit-not-known: `sx` is not a unit the language knows. `set` takes the unit of its parameter, as `limb rules` lists it.",
  ]);
});
