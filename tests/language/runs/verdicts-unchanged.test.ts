import { checkFiles, formatText, Site } from "@limbwright/language";
import { expect, test } from "vitest";
import { shuffled } from "../../fuzz/choices.ts";
import { seeds } from "../../questions.ts";
import { type Random, randomFrom } from "../../solver/random.ts";

/** Names that may be chosen freely, in the order in which the protocol below uses them. */
const NAMES = ["block", "upper", "lower", "local", "top-up", "hold", "clock", "surgery", "closing"] as const;

/** Other names, among them some that sort the other way round. */
const OTHER_NAMES = ["aa", "zz", "mm", "yy", "bb", "xx", "cc", "ww", "dd"];

interface Variant {
  readonly steps: readonly string[];
  readonly duringSurgery: readonly string[];
  readonly throughout: readonly string[];
}

const WHOLE: Variant = {
  steps: [
    "insert cannula",
    "exsanguinate by elevation 1 min",
    "inflate upper",
    "confirm upper",
    "inject local",
    "wait 5 min",
    "SURGERY",
    'stage closing {\ntask "Dress" takes 1 min to 3 min\n}',
    "wait for hold",
    "repeat 2 times {\ndeflate all for 10 s\nwatch 1 min\n}",
    "deflate all",
    "recovery 30 min",
  ],
  duringSurgery: [
    "when tourniquet-pain once {\ninflate lower\nconfirm lower\ndeflate upper\n}",
    "when block-incomplete up to 2 times {\ninject top-up\n}",
    "when clock reaches 40 min {\nend stage\n}",
  ],
  throughout: [
    "when toxicity-signs {\ngo to emergency toxicity\n}",
    'when patient-distress {\ntask "Reassure" takes 1 min\n}',
  ],
};

/** The whole protocol with one thing left out or changed, drawn by chance. */
function variant(random: Random): Variant {
  const without = <T>(list: readonly T[]) => {
    const at = random.below(list.length);
    return list.filter((one, index) => index !== at || one === "SURGERY");
  };
  const swapped = <T>(list: readonly T[]) => {
    const at = random.below(list.length - 1);
    return list.map((one, index) =>
      index === at ? (list[at + 1] ?? one) : index === at + 1 ? (list[at] ?? one) : one,
    );
  };
  return random.pick([
    () => ({ ...WHOLE, steps: without(WHOLE.steps) }),
    () => ({ ...WHOLE, steps: swapped(WHOLE.steps) }),
    () => ({ ...WHOLE, duringSurgery: without(WHOLE.duringSurgery) }),
    () => ({ ...WHOLE, throughout: without(WHOLE.throughout) }),
    () => WHOLE,
  ])();
}

/** The protocol's text with its declarations in the order that `order` gives them. */
function textOf(
  { steps, duringSurgery, throughout }: Variant,
  order: <T>(list: readonly T[]) => readonly T[],
): string {
  const surgery = `stage surgery {\ntask "Operate" takes 5 min or more\n${order(duringSurgery).join("\n")}\n}`;
  const sections = [
    "patients {\nage 16 to 85 years\nweight 45 to 130 kg\nsystolic 90 to 180 mmHg\n}",
    "cuffs upper, lower on upper-arm {\npressure systolic + 100 mmHg\nceiling 300 mmHg\n}",
    "dose local of lidocaine {\namount 2 mg/kg up to 150 mg\nover 90 s to 3 min\n}",
    "dose top-up of lidocaine {\namount 0.5 mg/kg\nover 30 s\n}",
    "timer hold from end of local {\nat least 30 min\nat most 55 min\n}",
    "timer clock from first inflation {\nat most 58 min\n}",
    `steps {\n${steps.map((step) => (step === "SURGERY" ? surgery : step)).join("\n")}\n}`,
    `throughout {\n${order(throughout).join("\n")}\n}`,
    'emergency toxicity "Toxicity" {\ntask help "Call for help"\n}',
    'require "Hands off" {\nnever lower up and upper flat and since end of local under 5 min\n}',
    'require "Feel it" {\nconfirm lower within 2 min of inflate lower\n}',
  ];
  const agent =
    'agent lidocaine {\nkind local-anaesthetic\nconcentration 0.5 %\nmaximum 4 mg/kg\nmaximum 300 mg\nsource "Formulary"\n}';
  return order([
    agent,
    `protocol block "Block" {\nversion 1.0.0\nstatus draft\n${order(sections).join("\n")}\n}`,
  ]).join("\n");
}

function renamed(text: string, names: ReadonlyMap<string, string>): string {
  return text.replace(/(?<![\w"-])[a-z]+(?:-[a-z]+)*(?![\w"-])/g, (word) => names.get(word) ?? word);
}

/** Every verdict, and the times of every run that is shown. */
function answers(text: string) {
  const site = new Site((file) => (file === "block.limb" ? text : undefined));
  const [check] = [...checkFiles(site, ["block.limb"], { on: "2026-11-25" })];
  const [judged] = check?.protocols ?? [];
  expect(check?.findings.filter(({ severity }) => severity === "error")).toEqual([]);
  const findings = (judged?.findings ?? []).map(({ rule, run }) => ({
    rule,
    times: run?.lines.map(({ seconds }) => seconds).at(-1),
  }));
  return {
    verdicts: judged?.verdicts.map(({ rule, kind }) => `${rule} ${kind}`),
    findings: findings.sort((a, b) => (JSON.stringify(a) < JSON.stringify(b) ? -1 : 1)),
    envelope: judged?.explored.runs.kind === "explored" ? judged.explored.runs.envelope : undefined,
  };
}

test.each(seeds(60))("no verdict depends on order, names or layout (seed %i)", (seed) => {
  const random = randomFrom(seed);
  const drawn = variant(random);
  const plain = textOf(drawn, (list) => list);
  const names = new Map(shuffled(random, OTHER_NAMES).map((name, at) => [NAMES[at] ?? name, name]));
  const laidOut = formatText(
    renamed(
      textOf(drawn, (list) => shuffled(random, [...list])),
      names,
    ),
  );
  expect(laidOut.kind).toBe("formatted");
  expect(answers(laidOut.kind === "formatted" ? laidOut.text : "")).toEqual(answers(plain));
});
