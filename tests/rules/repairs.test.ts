import { existsSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { catalogue, type FileCheck } from "@limbwright/language";
import type { Finding, Repair } from "@limbwright/shared/finding";
import { describe, expect, test } from "vitest";
import { asksAll } from "../questions.ts";
import { count, newlyBroken, withRepair } from "./mended.ts";
import { checkLaid, examplesOf, type Laid, laidOver } from "./page-examples.ts";

const RULES = join(import.meta.dirname, "../../language/rules");

interface Case {
  readonly rule: string;
  readonly laid: Laid;
  readonly before: FileCheck;
  readonly finding: Finding;
  readonly repair: Repair;
}

/** What the pages do not show: a slip with a repair beside those without one. */
const MORE: Readonly<Record<string, readonly string[]>> = {
  "dose-over-maximum": [
    "dose local of lidocaine {\n  amount 5 mg/kg\n  over 90 s to 3 min\n}",
    "dose local of lidocaine {\n  amount 3 mg/kg\n  over 90 s to 3 min\n}",
    "dose local of lidocaine {\n  amount 3 mg/kg up to 400 mg\n  over 90 s to 3 min\n}",
    ...[
      "40 mL",
      "100 mL",
      "1 mL/kg up to 50 mL",
      "5 mg/kg up to 250 mg",
      "lesser of 5 mg/kg and 250 mg",
      "lesser of 40 mL and 400 mg",
      "greater of 3 mg/kg and 240 mg",
      "(2 mg/kg + 100 mg)",
      "2 mg/kg + 100 mg rounded down to 5 mg",
      "half of 10 mg/kg",
      "300 mg - 50 mg",
      "45 mL rounded down to 1 mL",
      "by weight {\n    45 kg to under 50 kg   40 mL\n    50 kg and over         40 mL\n  }",
      "by age {\n    16 to 40 years   (1 mg/kg + 100 mg) rounded down to 1 mg\n    41 years and over   5 mg/kg\n  }",
    ].map((amount) => `dose local of lidocaine at 0.5 % {\n  amount ${amount}\n  over 90 s to 3 min\n}`),
  ],
  "cuff-does-not-fit": [
    "cuffs proximal, distal on upper-arm {\n  pressure systolic + 100 mmHg\n  ceiling 300 mmHg\n  fits 28 to 38 cm\n}",
  ],
  "pressure-margin-too-small": [
    ...["systolic + 50 mmHg", "230 mmHg", "greater of 200 mmHg and systolic + 60 mmHg"].map(cuffsAt),
    cuffsAt("occlusion-pressure + 30 mmHg").replace(
      "pressure",
      "occlusion by circumference {\n    40 cm and under   systolic + 20 mmHg\n  }\n  pressure",
    ),
  ],
  "no-cuff-up": [
    ...[
      "deflate proximal",
      "deflate proximal\n        inflate distal",
      "inflate distal\n        deflate all",
    ].map((steps) =>
      stepsWith(`when tourniquet-pain once {\n        ${steps}\n        confirm distal\n      }`),
    ),
    stepsWith(
      'when tourniquet-pain once {\n        ask "Sore?" {\n          yes {\n            deflate proximal\n            inflate distal\n            confirm distal\n          }\n          no {\n            wait 1 min\n          }\n        }\n      }',
    ),
    `routine swap "Swap" {\n  deflate proximal\n  inflate distal\n  confirm distal\n}\n${stepsWith("when tourniquet-pain once {\n        do swap\n      }")}`,
  ],
  "occlusion-too-long": [
    ...[
      "",
      'when systolic-rises {\n        task "Raise the pressure" takes 10 s to 1 min\n      }',
      `when hold reaches 20 min {\n        task anaesthetic-decision "Go on?" by "anaesthetist"\n      }`,
      "when hold reaches 56 min {\n        end stage\n      }",
    ].map(stageWith),
    `timer hold from end of local {\n  at least 20 min\n}\n${stageWith("")}`,
  ],
  "timer-claim-broken": [...["", "when hold reaches 49 min {\n        end stage\n      }"].map(stageWith)],
  "unit-missing": [
    "timer hold from end of local {\n  at least 30\n  at most 50 min\n}",
    "timer hold from end of local {\n  at least 30 min\n  at most 50\n}",
    "patients {\n  age 16 and over\n  weight 45 to 130 kg\n  systolic 90 to 180 mmHg\n}",
    "dose local of lidocaine at 0.5 % {\n  amount 3 mg/kg up to 200 mg\n  over 90\n}",
    cuffsAt("systolic + 100 mmHg").replace("300 mmHg", "300"),
  ],
  "volume-not-usual-for-limb": [
    ...["4 mg/kg = 0.8 mL/kg", "3 mg/kg up to 250 mg = 0.6 mL/kg up to 50 mL", "60 mL = 300 mg"].map(
      (amount) => `dose local of lidocaine at 0.5 % {\n  amount ${amount}\n  over 90 s to 3 min\n}`,
    ),
  ],
  "date-not-real": ["review by 2027-13-01", "review by 2027-06-31", "review by 2027-04-00"],
  "lipid-late": [
    emergencyWith("give lipid-bolus", 'task "Ask pharmacy" takes 2 min to 5 min\n    give lipid-bolus'),
    emergencyWith(
      "give lipid-bolus",
      'wait 5 min\n    task help "Call for help"\n    give lipid-bolus "Now"',
    ),
  ],
  "no-toxicity-plan": [
    "throughout {\n  when cuff-leak {\n    inflate all\n    confirm all\n  }\n}",
    ...["of proximal", "not before 20 min", "once"].map(
      (narrowed) =>
        `throughout {\n  when toxicity-signs ${narrowed} {\n    ask "Is it worse?" {\n      yes {\n        go to emergency toxicity\n      }\n      no {\n        watch 5 min\n        go to emergency toxicity\n      }\n    }\n  }\n}`,
    ),
    `${stepsWith("when toxicity-signs {\n        go to emergency toxicity\n      }")}\nthroughout {\n  when cuff-leak {\n    inflate all\n    confirm all\n  }\n}`,
  ],
  "rescue-dose-differs": [
    emergencyWith("1.5 mL/kg", "0.5 mL/kg"),
    emergencyWith("over   1 min", "over   3 min"),
    emergencyWith("rate  15 mL/kg/h", "rate  5 mL/kg/h"),
    emergencyWith("total up to 12 mL/kg", "total up to 8 mL/kg"),
    emergencyWith("1.5 mL/kg", "1.5 mL/kg up to 60 mL"),
    emergencyWith("1.5 mL/kg", "1 mL/kg = 200 mg/kg"),
  ],
  "amount-disagrees-with-concentration": [
    ...[
      "200 mg = 30 mL",
      "200 mg = 50 mL",
      "50 mL = 200 mg",
      "3 mg/kg = 40 mL",
      "3 mg/kg up to 200 mg = 60 mL",
    ].map((amount) => `dose local of lidocaine at 0.5 % {\n  amount ${amount}\n  over 90 s to 3 min\n}`),
    emergencyWith("1.5 mL/kg", "1 mL/kg = 100 mg/kg"),
  ],
  "step-out-of-place": [
    stepsWith(
      "when tourniquet-pain {\n        inflate distal\n        confirm distal\n        deflate proximal\n      }",
    ),
  ],
  "requirement-broken": [
    'require "Warn the patient" {\n  inject local only after confirm distal\n}\n' +
      "steps {\n  insert cannula\n  exsanguinate by elevation 3 min\n  inflate proximal\n  confirm proximal\n" +
      "  inflate distal\n  inject local\n  confirm distal\n  wait for hold\n  deflate all\n  recovery 30 min\n}",
  ],
  "statement-missing": [
    'protocol bare "Bare" {\n  status draft\n  patients {\n    age 16 to 85 years\n  }\n}',
  ],
  "toxicity-plan-incomplete": [
    emergencyWithout("task oxygen"),
    emergencyWithout("task cuff-decision"),
    emergencyWithout("task help"),
    emergencyWithout("task seizure"),
    emergencyWithout("task arrest"),
  ],
};

function cuffsAt(pressure: string): string {
  return `cuffs proximal, distal on upper-arm {\n  pressure ${pressure}\n  ceiling 300 mmHg\n  fits 25 to 40 cm\n}`;
}

/** The base protocol's steps with another answer in their stage. */
function stepsWith(answer: string): string {
  const base = readFileSync(join(import.meta.dirname, "base/protocol.limb"), "utf8");
  const steps = /^ {2}steps [\s\S]*?^ {2}\}$/m.exec(base)?.[0] ?? "";
  return steps.replace(/when tourniquet-pain once \{[\s\S]*?^ {6}\}/m, answer);
}

/** The base protocol's steps with one answer alone in their stage, or none. */
function stageWith(answer: string): string {
  const base = readFileSync(join(import.meta.dirname, "base/protocol.limb"), "utf8");
  const steps = /^ {2}steps [\s\S]*?^ {2}\}$/m.exec(base)?.[0] ?? "";
  return steps.replace(/when tourniquet-pain once [\s\S]*?^ {4}\}$/m, `${answer}\n    }`);
}

/** The base protocol's emergency without one of its lines. */
function emergencyWithout(task: string): string {
  const base = readFileSync(join(import.meta.dirname, "base/protocol.limb"), "utf8");
  const emergency = /^ {2}emergency [\s\S]*?^ {2}\}$/m.exec(base)?.[0] ?? "";
  return emergency.replace(new RegExp(`^ *${task}.*\n`, "m"), "");
}

function emergencyWith(words: string, others: string): string {
  return emergencyWithout("none").replace(words, others);
}

/** Every repair that is offered for what a rule finds in the examples of its page, and in some more. */
function casesOf(rule: string): Case[] {
  const page = readFileSync(join(RULES, rule, "page.md"), "utf8");
  const onPage = examplesOf(page).filter(({ kind }) => kind === "breaks");
  const more = (MORE[rule] ?? []).map((text) => ({ text, before: undefined }));
  return [...onPage, ...more].flatMap(({ text, before: earlier }) => {
    const laid = laidOver(text, earlier);
    const ofRule = (check: FileCheck) => check.findings.filter((finding) => finding.rule === rule);
    // Most rules offer no repair: only where this one does, all others are asked, too.
    const asked = checkLaid(laid, [rule]);
    if (ofRule(asked).every(({ repairs }) => repairs.length === 0)) return [];
    const isWhole = asked.protocols.every(({ pending }) => pending.length === 0);
    const before = isWhole ? asked : checkLaid(laid);
    return ofRule(before).flatMap((finding) =>
      finding.repairs.map((repair) => ({ rule, laid, before, finding, repair })),
    );
  });
}

function repaired({ laid, repair }: Case): Laid {
  return { ...laid, files: withRepair(laid.files, repair) };
}

/** A rule whose detection says nothing of repairs offers none; every night it is asked all the same. */
function mayOfferRepairs(rule: string): boolean {
  const detection = join(RULES, rule, "rule.ts");
  return asksAll() || !existsSync(detection) || /repair/i.test(readFileSync(detection, "utf8"));
}

const CASES = catalogue.filter(({ id }) => mayOfferRepairs(id)).map(({ id }) => [id, casesOf(id)] as const);

describe("a repair", () => {
  test.each(CASES.filter(([, cases]) => cases.length > 0))(
    "of %s mends what was found, and nothing as bad is found instead",
    (rule, cases) => {
      for (const one of cases) {
        const laid = repaired(one);
        const after = checkLaid(laid);
        const words = `${one.repair.title}\n${laid.files.get(one.laid.file)}`;
        expect(count(after, rule), words).toBeLessThan(count(one.before, rule));
        expect(newlyBroken(one.before, after, one.finding), words).toEqual([]);
      }
    },
  );
});

test("these findings can be mended at a key", () => {
  const lines = CASES.flatMap(([rule, cases]) => [
    ...new Set(cases.map(({ repair }) => `${rule}: ${repair.title} (${repair.safety})`)),
  ]);
  expect(lines.join("\n")).toMatchSnapshot();
});
