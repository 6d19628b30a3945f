import { expect, test } from "vitest";
import { comparedFile, exampleText, lines, WRIST } from "./two-versions.ts";

/** What changes between two versions of the wrist protocol, each with some of its text replaced. */
function changed(
  before: readonly (readonly [string, string])[],
  now: readonly (readonly [string, string])[],
) {
  const text = (edits: readonly (readonly [string, string])[]) =>
    edits.reduce((written, [from, to]) => {
      if (!written.includes(from)) throw new Error(`the protocol has no ${from}`);
      return written.replace(from, to);
    }, exampleText(WRIST));
  const comparison = comparedFile(WRIST, { [WRIST]: text(before) }, { [WRIST]: text(now) });
  return { told: lines(comparison), needed: comparison.version.needed };
}

const LEAK = "when cuff-leak {\n      inflate all\n      confirm all\n    }";

test("what is done about a leak is never mere wording, though no planned run comes to it", () => {
  const flat = LEAK.replace("inflate all", "deflate all\n      inflate all");
  const { told, needed } = changed([], [[LEAK, flat]]);
  expect(told.filter((one) => one.startsWith("wording"))).toEqual([]);
  expect(told.find((one) => one.includes("`deflate all`"))).toMatch(/^different steps/);
  expect(needed).toBe("first");
});

test("a step of an emergency that nothing enters is not decided by the runs", () => {
  const extra = (task: string): [string, string] => [
    '  emergency toxicity "Local',
    `  emergency collapse "Collapse" {\n    task "${task}"\n    task cuff-decision "Anaesthetist decides"\n  }\n\n  emergency toxicity "Local`,
  ];
  const { told } = changed([extra("Lie the patient down")], [extra("Adrenaline 1 mg")]);
  expect(told.filter((one) => one.startsWith("wording"))).toEqual([]);
});

test("a cap that falls when heavier patients are let in needs a reader", () => {
  const { told } = changed([["45 to 130 kg", "45 to 66 kg"]], [["3 mg/kg up to 200 mg", "3 mg/kg"]]);
  expect(told.find((one) => one.includes("The amount of `local`"))).toMatch(/^needs-a-reader dose/);
});

test("amounts of two protocols that share no patient are not said to be the same", () => {
  const { told } = changed(
    [["16 to 85 years", "50 to 85 years"]],
    [
      ["16 to 85 years", "16 to 40 years"],
      ["3 mg/kg up to 200 mg", "30 mg/kg"],
    ],
  );
  expect(told.find((one) => one.includes("The amount of `local`"))).toMatch(/^different dose/);
});

test("a contraindication in place of another is given up and set, whatever stands beside it", () => {
  const as = (condition: string): [string, string] => [
    'contraindicated sickle-cell      "Sickle cell disease or trait"',
    `contraindicated ${condition} "Severe disease"`,
  ];
  const { told } = changed([as("liver-disease")], [as("epilepsy")]);
  expect(told.filter((one) => one.includes("patients:"))).toEqual([
    "looser patients: `liver-disease` is not decided now; before, contraindicated.",
    "tighter patients: `epilepsy` is contraindicated now; before, not decided.",
  ]);
});

test("what changes within a step that moved is told as well", () => {
  const before: [string, string] = [
    "remove cannula\n    wait 5 min",
    'remove cannula "Press 5 min"\n    wait 5 min',
  ];
  const now: [string, string] = [
    "remove cannula\n    wait 5 min",
    'wait 5 min\n    remove cannula "Do not press"',
  ];
  const { told } = changed([before], [now]);
  expect(told.some((one) => one.startsWith("needs-a-reader steps: The note of `remove cannula`"))).toBe(true);
});

test("two tasks that change places are moved, not put into other words", () => {
  const around = (first: string, second: string): [string, string] => [
    "inject local\n",
    `task "${first}"\n    inject local\n    task "${second}"\n`,
  ];
  const { told, needed } = changed([around("Check the side", "Drape")], [around("Drape", "Check the side")]);
  expect(told.some((one) => one.startsWith("different steps"))).toBe(true);
  expect(needed).toBe("first");
});

test("less often, or slower, of a rescue drug asks for the first number", () => {
  const { told, needed } = changed([], [["every 5 min if", "every 30 min if"]]);
  expect(told[0]).toMatch(/^different dose: The time between two givings/);
  expect(needed).toBe("first");
});

test("a name that stays is never given to something else", () => {
  const timers = (hold: string, more: string): [string, string] => [
    "timer hold from end of local {\n    at least 30 min",
    `${more}timer hold from end of local {\n    at least ${hold}`,
  ];
  const short = "timer short from end of local {\n    at least 20 min\n  }\n  ";
  const { told, needed } = changed([timers("30 min", short)], [timers("20 min", "")]);
  expect(told).toContain("looser timer: The least time of `hold` is 20 min now; before, 30 min.");
  expect(needed).toBe("first");
});

test("two strengths that differ in the third decimal are not told as one", () => {
  const file = "formulary.limb";
  const as = (strength: string) => ({
    [file]: exampleText(file).replace("0.5 %, 0.25 %", `0.5 %, ${strength} %`),
  });
  expect(lines(comparedFile(WRIST, as("0.251"), as("0.254")))).toEqual([
    "different drug: The concentration of `lidocaine` is 0.254 %, 0.5 % now; before, 0.251 %, 0.5 %.",
  ]);
});
