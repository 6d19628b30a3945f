import { describe, expect, test } from "vitest";
import { checked, errorsOf, findingsOf, verdictOf } from "./hospital.ts";

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

  test.each([
    ["drawn-up-loss", "0.001", "0.001", "Write what is at least 1, at most 10, or remove the line."],
    ["drawn-up-loss", "0.0000001", "0.0000001", "Write what is at least 1, at most 10, or remove the line."],
    ["action-time", "0.01 s", "0.01 s", "Write what is at least 60 s, or remove the line."],
    ["drawn-up-loss", "12", "12", "Write what is at least 1, at most 10, or remove the line."],
  ])("that is refused is named as it is written: set %s %s", (name, value, said, next) => {
    const errors = checked({ rules: `  set ${name} ${value} ${REASON}` })
      .flatMap(({ findings }) => findings)
      .filter(({ severity }) => severity === "error");
    expect(errors.map((one) => [one.what.startsWith(`${said} passes`), one.next])).toEqual([[true, next]]);
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
        expect.stringContaining(`${value} is not the standard, 40 mL, and lacks a reason`),
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

test("the whole example of the language, with its local rules, has nothing to mend", () => {
  const rules = `  set ${MARGIN}.margin 75 mmHg ${REASON}
  set action-time 75 s
  accept dose-without-cap in ankle-reduction because "Box ends at 66 kg" by "Pharmacy" until 2027-01-31`;
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
