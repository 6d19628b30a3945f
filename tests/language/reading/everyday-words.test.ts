import { expect, test } from "vitest";
import { checkExample, READING } from "../../rules/page-examples.ts";

/** What the first error of a text says to do next. */
function nextOf(text: string): string | undefined {
  return checkExample(text, { about: READING }).check.findings.find(({ severity }) => severity === "error")
    ?.next;
}

const dose = (amount: string, over = "90 s to 3 min") =>
  `dose local of lidocaine {\n  amount ${amount}\n  over ${over}\n}\n`;
const steps = (line: string) => `steps {\n  inflate proximal\n  ${line}\n}\n`;
const prepare = (line: string) => `prepare {\n  ${line}\n}\n`;
const patients = (line: string) => `patients {\n  ${line}\n  age 16 to 85 years\n}\n`;
const cuffs = (line: string) => `cuffs proximal "grey", distal "white" on upper-arm {\n  ${line}\n}\n`;

test.each([
  [dose("3 mg/kg max 200 mg"), "up to"],
  [dose("3 mg per kg"), "3 mg/kg"],
  [dose("3 mg/kg", "90 s - 3 min"), "90 s to 3 min"],
  [dose("3 mg/kg but not more than 200 mg"), "up to"],
  ["timer hold from end of lidocaine {\n  at least 30 min\n}\n", "`local`"],
  ["timer hold from injection {\n  at least 30 min\n}\n", "end of local"],
  ["timer hold from end of inject local {\n  at least 30 min\n}\n", "end of local"],
  [steps("inject lidocaine"), "`local`"],
  [steps("inject 20 mL"), "name of a dose"],
  [steps("inject local over 2 min"), "`over 90 s to 3 min`"],
  [steps("inflate the proximal cuff"), "Leave out `the`"],
  [steps("inflate proximal, confirm proximal"), "a line of its own"],
  [steps("inflate proximal; confirm proximal"), "a line of its own"],
  [steps("release the cuff"), "`deflate all`"],
  [steps("check the cuff"), "`confirm`"],
  [steps("elevate arm 2 min"), "`exsanguinate by elevation 2 min`"],
  [steps("wait until hold"), "`wait for hold`"],
  [steps("recovery for 30 min"), "Leave out `for`"],
  [steps('if pain { task "Call" }'), "`when EVENT"],
  [steps("call for help"), "`task help"],
  [steps("task Operate takes 5 min"), '`"Operate"`'],
  [prepare("staff two"), "in digits"],
  [prepare("iv access other-limb"), "`iv-access`"],
  [prepare("at hand lipid-emulsion"), "`at-hand`"],
  [prepare("at-hand lipid emulsion"), "`lipid-emulsion`"],
  [patients("weight > 45 kg"), "`over 45 kg`"],
  [patients("weight 45-130 kg"), "Write `to`"],
  [patients("systolic up to 180 mmHg"), "`under 180 mmHg`"],
  [cuffs("pressure SBP + 100 mmHg"), "`systolic`"],
  [cuffs("pressure 2 x systolic"), "`200 % of systolic`"],
  ["dose local of lidocaine 0.5 % {\n  amount 200 mg\n  over 2 min\n}\n", "`at 0.5 %`"],
  ["dose lidocaine {\n  amount 200 mg\n  over 2 min\n}\n", "`dose local of lidocaine {`"],
])("everyday writing is answered with what the language writes: %#", (text, words) => {
  expect(nextOf(text)).toContain(words);
});

test("a name used with capitals is understood, and put right where it is used", () => {
  const { check } = checkExample("timer hold from end of Local {\n  at least 30 min\n  at most 50 min\n}\n", {
    about: READING,
  });
  const [finding] = check.findings.filter(({ rule }) => rule === "name-badly-written");
  expect(finding?.repairs[0]?.changes[0]?.text).toBe("local");
  expect(check.findings.filter(({ severity }) => severity === "error")).toEqual([]);
});

test("words of the language in capitals are understood, and put right", () => {
  const { check } = checkExample(prepare("monitoring ECG, SpO2, NIBP every 5 min"), { about: READING });
  const found = check.findings.filter(({ rule }) => rule === "name-badly-written");
  expect(found.map(({ next }) => next)).toEqual(["Write `ecg`.", "Write `spo2`.", "Write `nibp`."]);
  expect(check.findings.filter(({ severity }) => severity === "error")).toEqual([]);
});

test("what is written instead of a product can be read", () => {
  const { check } = checkExample(
    cuffs("pressure 200 % of systolic\n  ceiling 300 mmHg\n  fits 25 to 40 cm"),
    { about: READING },
  );
  expect(check.findings.filter(({ severity }) => severity === "error")).toEqual([]);
});

test("a line that is not understood leaves the line before it alone", () => {
  const { check } = checkExample(
    'steps {\n  stage procedure {\n    task "Splint" takes 5 min\n    when tourniquet pain {\n      inflate all\n    }\n  }\n}\n',
  );
  const errors = check.findings.filter(({ rule }) => rule === "text-not-understood");
  expect(errors.map(({ next }) => next)).toEqual([expect.stringContaining("`when tourniquet-pain once {`")]);
});
