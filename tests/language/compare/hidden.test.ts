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
    "looser patients: `liver-disease` is no longer asked; before, it was contraindicated.",
    "tighter patients: `epilepsy` is contraindicated now; before, it was not asked.",
  ]);
});

test("what changes within a step that moved is told as well", () => {
  const before: [string, string] = [
    'remove cannula "Press on the puncture"\n    wait 5 min',
    'remove cannula "Press 5 min"\n    wait 5 min',
  ];
  const now: [string, string] = [
    'remove cannula "Press on the puncture"\n    wait 5 min',
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
  expect(told.find((one) => !one.startsWith("no-longer-safe"))).toMatch(
    /^different dose: The time between two givings/,
  );
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

test("a text that stands in two places and is put into other words in one is no other order", () => {
  const twice = (second: string): [string, string] => [
    '    remove cannula "Press on the puncture"\n    wait 5 min\n',
    `    task "Check the limb"\n    remove cannula\n    wait 5 min\n    task "${second}"\n`,
  ];
  const { told, needed } = changed([twice("Check the limb")], [twice("Check the limb again")]);
  expect(told).toEqual([
    "needs-a-reader steps: A task is “Check the limb again” now; before, “Check the limb”.",
  ]);
  expect(needed).toBe("second");
});

test("nor is it where one of the two stands in a stage", () => {
  const inStage = (words: string): [string, string] => [
    '      task "Reduce and splint" takes 5 min or more\n',
    `      task "Check the limb"\n      task "${words}" takes 5 min or more\n`,
  ];
  const first: [string, string] = [
    '    remove cannula "Press on the puncture"\n',
    '    task "Reduce and splint"\n    remove cannula\n',
  ];
  const { told } = changed([first, inStage("Reduce and splint")], [first, inStage("Reduce, then splint")]);
  expect(told).toEqual([
    "needs-a-reader steps: A task is “Reduce, then splint” now; before, “Reduce and splint”.",
  ]);
});

test("a task of a routine that is written out and reworded in one of its places is no other order", () => {
  const task = '\n    task "Look at the limb"';
  const routine = (words: string) => `${task.replace("Look at the limb", words)}\n    do staged-release\n`;
  const at = (words: string): [string, string] => ["\n    do staged-release\n", routine(words)];
  const { told } = changed([at("Look at the limb")], [at("Look at the hand")]);
  expect(told).toEqual([
    "needs-a-reader steps: A task is “Look at the hand” now; before, “Look at the limb”.",
  ]);
});

test("a stage that is named where it ends, or not, is the same stage", () => {
  const named: [string, string] = ["        end stage\n", "        end stage procedure\n"];
  expect(changed([], [named]).told).toEqual([]);
  expect(changed([named], []).told).toEqual([]);
});

test("a stage around the one that ends is another stage", () => {
  const wrapped = (end: string): readonly [string, string][] => [
    ["    stage procedure {", "    stage whole {\n    stage procedure {"],
    ["        end stage\n      }\n    }\n", `        ${end}\n      }\n    }\n    task "Dress"\n    }\n`],
  ];
  const { told } = changed(wrapped("end stage"), wrapped("end stage whole"));
  expect(told.some((one) => /^(looser|different|tighter) (steps|runs)/.test(one))).toBe(true);
});

const DRIP = (total: string): readonly [string, string][] => [
  ["  timer hold", `  dose drip of lidocaine at 0.25 % {\n    rate 1 mL/h\n${total}  }\n\n  timer hold`],
  ['    remove cannula "Press on the puncture"\n', "    give drip\n    remove cannula\n"],
];

test("a total that is dropped, where nothing else bounds the dose, is looser for a patient who is shown", () => {
  const total = "    total up to 0.2 mL/kg\n";
  const texts = (edits: readonly (readonly [string, string])[]) => ({
    [WRIST]: edits.reduce((text, [from, to]) => text.replace(from, to), exampleText(WRIST)),
  });
  const of = (old: string, recent: string) =>
    comparedFile(WRIST, texts(DRIP(old)), texts(DRIP(recent))).changes.find(({ what }) =>
      what.startsWith("The total of `drip`"),
    );
  expect(of(total, "")).toMatchObject({
    kind: "looser",
    raises: "first",
    what: "The total of `drip` is not stated now; before, 0.2 mL/kg.",
    evidence: [
      {
        direction: "no longer bounded",
        side: "looser",
        everybody: true,
        example: { now: "no limit", before: expect.stringMatching(/^[\d.]+ mL$/) },
      },
    ],
  });
  expect(of("", total)).toMatchObject({ kind: "tighter", evidence: [{ direction: "bounded now" }] });
});

test("a total of a fixed amount limits nothing: it is wording, whether it goes, comes or is another number", () => {
  const capped = (most: string): [string, string] => [
    "    amount 3 mg/kg up to 200 mg\n",
    `    amount 3 mg/kg up to 200 mg\n    total up to ${most}\n`,
  ];
  const told = (before: [string, string][], now: [string, string][]) =>
    changed(before, now).told.filter((one) => !one.startsWith("wording"));
  expect(told([capped("190 mg")], [])).toEqual([]);
  expect(told([], [capped("190 mg")])).toEqual([]);
  expect(told([capped("100 mg")], [capped("190 mg")])).toEqual([]);
  expect(changed([capped("190 mg")], []).told.length).toBeGreaterThan(0);
});

test("a rescue drug without its total is different, as any change of it", () => {
  const { told } = changed([], [["      total up to 12 mL/kg\n", ""]]);
  expect(told[0]).toBe("different dose: The total of `lipid-infusion` is not stated now; before, 12 mL/kg.");
});

test("where the runs could not be followed side by side they are different and not decided, with the reason", () => {
  const stage = (most: string): [string, string] => [
    "    wait 5 min\n",
    `    stage rest {\n      wait 5 min to ${most}\n      when hold reaches 8 min {\n        task "Look"\n      }\n    }\n    wait for hold\n`,
  ];
  const { told, needed } = changed([stage("10 min")], [stage("12 min")]);
  const runs = told.find((one) => one.includes("allow the same runs"));
  expect(runs).toMatch(
    /^different runs: Whether both versions allow the same runs was not decided: in one version/,
  );
  expect(runs).not.toContain("fault");
  expect(needed).toBe("first");
});
