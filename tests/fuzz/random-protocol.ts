import { type Random, randomFrom } from "../solver/random.ts";
import { maybe, shuffled } from "./choices.ts";
import {
  amount,
  bands,
  duration,
  MASS,
  number,
  openRange,
  PRESSURE,
  RATE,
  range,
  VOLUME,
} from "./random-amounts.ts";
import { localRules, moment, requirement, scenario } from "./random-claims.ts";
import { handler, ROLES, runsBeside, type StepNames, stage, step, steps } from "./random-steps.ts";
import { block, plainText, quoted, type Statement } from "./statements.ts";
import { untidyText } from "./untidy-text.ts";

/**
 * A file with everything the language can say: agents, local rules, events, routines, a protocol and
 * scenarios. It can be read without an error; whether its doses are safe is left to chance. The same seed
 * gives the same file.
 */
export function randomProtocol(seed: number): string {
  return plainText(randomFile(randomFrom(seed)));
}

/** The file of the same seed as a hurried author may type it, with comments everywhere. */
export function untidyProtocol(seed: number): string {
  const random = randomFrom(seed);
  return untidyText(randomFile(random), random);
}

/** The same as statements, to be written in another layout or changed. */
function randomFile(random: Random): Statement[] {
  const agents = AGENTS.filter((_, index) => index < 2 || random.oneIn(2));
  const events = random.oneIn(2) ? ["blue-grey-colour"] : [];
  const routines = ["staged-release", "watchful-wait"].slice(0, random.below(3));
  const fileNames: StepNames = { ...NO_NAMES, events };
  const inFile: Statement[] = [
    ...agents.map((of) => agent(random, of)),
    ...events.map((event) => ["event", event, ...maybe(random, quoted("Blue-grey colour"))]),
    localRules(random, "tarn-hollow"),
    ...routines.map((name, index) =>
      routine(random, name, { ...fileNames, routines: routines.slice(0, index) }),
    ),
  ];
  const names = protocolNames(random, events, routines);
  const scenarios = Array.from({ length: random.below(3) }, () => scenario(random, PROTOCOL, names));
  return [...shuffled(random, inFile), protocol(random, agents, names), ...scenarios];
}

const PROTOCOL = "wrist-reduction";

const NO_NAMES: StepNames = {
  cuffs: [],
  doses: [],
  timers: [],
  stages: [],
  emergencies: [],
  routines: [],
  events: [],
  inStage: false,
};

interface AgentNames {
  readonly name: string;
  readonly kind: string;
  readonly concentrations: readonly string[];
}

const AGENTS: readonly AgentNames[] = [
  { name: "lidocaine", kind: "local-anaesthetic", concentrations: ["0.5 %", "0.25 %"] },
  { name: "lipid-emulsion", kind: "rescue", concentrations: ["20 %"] },
  { name: "prilocaine", kind: "local-anesthetic", concentrations: ["5 mg/mL"] },
  { name: "ketorolac", kind: "adjuvant", concentrations: ["30 mg/mL"] },
];

function protocolNames(random: Random, events: readonly string[], routines: readonly string[]): StepNames {
  return {
    cuffs: random.oneIn(3) ? ["proximal"] : ["proximal", "distal"],
    doses: ["local", "drip", "top-up"].slice(0, 1 + random.below(3)),
    timers: ["hold", "clock"].slice(0, random.below(3)),
    stages: ["procedure", "closing"].slice(0, random.below(3)),
    emergencies: ["toxicity", "collapse"].slice(0, random.below(3)),
    routines: [...routines, ...(random.oneIn(2) ? ["own-release"] : [])],
    events: ["tourniquet-pain", "toxicity-signs", "cuff-leak", "systolic-rises", ...events],
    inStage: false,
  };
}

function agent(random: Random, of: AgentNames): Statement {
  const properties: Statement[] = [
    ["kind", of.kind],
    ["concentration", ...of.concentrations.flatMap((value, index) => (index === 0 ? [value] : [",", value]))],
    ...maybe<Statement>(random, ["atc", quoted("N01BB02")]),
    ...maybe<Statement>(random, ["supplied", "as", "20 %", "in", "20 mL"]),
    ...maybe<Statement>(random, ["diluted", "with", quoted("saline 0.9 %")]),
    ...maybe<Statement>(random, ["syringe", "10 mL", "marked", "every", "0.2 mL"]),
    ...maybe<Statement>(random, ["plain"]),
    ...maybe<Statement>(random, ["preservative-free"]),
    ["maximum", `${number(random, 2, 12)} mg/kg`],
    ...maybe<Statement>(random, ["maximum", "3 mg/kg", "for", "age", ...openRange(random, 12, "years")]),
    ...maybe<Statement>(random, ["maximum", "200 mg", "for", "age", ...range(random, 1, 12, "years")]),
    ...maybe<Statement>(random, ["contraindicated", ...maybe(random, quoted("Deaths reported"))]),
    ...maybe<Statement>(random, [
      "caution",
      quoted("Half the dose"),
      ...maybe(random, "in", quoted("the frail")),
    ]),
    ...maybe<Statement>(random, ["source", quoted("Hospital formulary")]),
  ];
  return ["agent", of.name, ...maybe(random, quoted("A drug")), block(...shuffled(random, properties))];
}

function protocol(random: Random, agents: readonly AgentNames[], names: StepNames): Statement {
  const [local, rescue] = agents as [AgentNames, AgentNames];
  const hasTable = random.oneIn(3);
  const sections: Statement[] = [
    ["version", "1.4.0"],
    ...maybe<Statement>(random, ["hospital", quoted("Tarn Hollow Hospital")]),
    ...maybe<Statement>(random, ["owner", quoted("Anaesthesia lead")]),
    ["status", ...status(random)],
    ...maybe<Statement>(random, ["review", "by", "2027-06-30"]),
    ...maybe<Statement>(random, ["local-rules", "tarn-hollow"]),
    ...maybe<Statement>(random, ["indication", quoted("Closed reduction, little pain afterwards")]),
    patients(random),
    cuffs(random, names, hasTable),
    ...names.doses.map((name) => dose(random, name, local, agents)),
    ...names.timers.map((name) => timer(random, name, names)),
    prepare(random, agents),
    stepsSection(random, names),
    ...maybe<Statement>(random, ["throughout", block(handler(random, names, 1), handler(random, names, 2))]),
    ...names.emergencies.map((name) => emergency(random, name, rescue, agents, names)),
    ...ownRoutine(random, names),
    ...Array.from({ length: random.below(3) }, () => requirement(random, names)),
  ];
  return [
    "protocol",
    PROTOCOL,
    ...maybe(random, quoted("Wrist reduction")),
    block(...shuffled(random, sections)),
  ];
}

function status(random: Random): Statement {
  return random.pick<Statement>([
    ["draft"],
    ["in-review"],
    ["retired"],
    ["approved", "by", quoted(random.pick(ROLES)), "on", "2026-10-01"],
  ]);
}

function patients(random: Random): Statement {
  const conditions: Statement[] = [
    ["contraindicated", "allergy", quoted("Allergy to an amide")],
    ["contraindicated", "sickle-cell"],
    ["contraindicated", quoted("The patient declines")],
    ["caution", "raynaud", quoted("Raynaud's disease")],
    ["allowed", "epilepsy", "because", quoted("Well controlled")],
    ["allowed", "pregnancy", quoted("Third trimester"), "because", quoted("Own audit")],
  ];
  return [
    "patients",
    block(
      ...shuffled(random, [
        ["age", ...range(random, 16, 85, "years")],
        ["weight", ...range(random, 45, 130, "kg")],
        ["systolic", ...range(random, 90, 180, "mmHg")],
        ["circumference", ...range(random, 25, 40, "cm")],
        ...conditions.slice(random.below(conditions.length)),
      ]),
    ),
  ];
}

function cuffs(random: Random, names: StepNames, hasTable: boolean): Statement {
  const kind = hasTable ? { ...PRESSURE, variables: ["systolic", "occlusion-pressure"] } : PRESSURE;
  const table: Statement[] = hasTable ? [["occlusion", ...bands(random, PRESSURE, 1, "circumference")]] : [];
  const named = names.cuffs.flatMap((cuff, index) => [
    ...(index === 0 ? [] : [","]),
    cuff,
    ...maybe(random, quoted(index === 0 ? "grey" : "white")),
  ]);
  const entries: Statement[] = [
    ...table,
    ["pressure", ...amount(random, kind)],
    ["ceiling", "300 mmHg"],
    ...maybe<Statement>(random, ["fits", ...range(random, 20, 45, "cm")]),
  ];
  return [
    "cuffs",
    ...named,
    "on",
    random.pick(["upper-arm", "forearm", "thigh", "calf", "ankle"]),
    block(...shuffled(random, entries)),
  ];
}

function dose(random: Random, name: string, of: AgentNames, agents: readonly AgentNames[]): Statement {
  const at = of.concentrations.length > 1 ? ["at", random.pick(of.concentrations)] : [];
  const repeated =
    runsBeside(name) && random.oneIn(3)
      ? [
          [
            "repeat",
            number(random, 1, 3),
            "times",
            "every",
            "5 min",
            ...maybe(random, "if", quoted("still unstable")),
          ],
        ]
      : [];
  const amounts: Statement[] = [
    ["amount", ...amount(random, MASS), ...(random.oneIn(3) ? ["=", ...amount(random, VOLUME)] : [])],
    ...maybe<Statement>(random, ["over", ...duration(random)]),
    ...repeated,
    ...agents.slice(2).map((other): Statement => ["with", other.name, ...amount(random, MASS, 1)]),
  ];
  const rates: Statement[] = [
    ["rate", ...amount(random, RATE)],
    ...maybe<Statement>(random, ["total", "up", "to", ...amount(random, VOLUME)]),
  ];
  return [
    "dose",
    name,
    "of",
    of.name,
    ...at,
    block(...shuffled(random, runsBeside(name) && random.oneIn(3) ? rates : amounts)),
  ];
}

function timer(random: Random, name: string, names: StepNames): Statement {
  const bounds: Statement[] = [
    ...maybe<Statement>(random, ["at", "least", "20 min"]),
    ...maybe<Statement>(random, ["at", "most", `${number(random, 20, 60)} min`]),
  ];
  return ["timer", name, "from", ...moment(random, names), block(...bounds)];
}

function prepare(random: Random, agents: readonly AgentNames[]): Statement {
  const atHand = agents.flatMap(({ name }, index) => [
    ...(index === 0 ? [] : [","]),
    name,
    ...maybe(random, "500 mL"),
  ]);
  const items: Statement[] = [
    ["iv-access", random.pick(["other-limb", "same-limb"])],
    ["monitoring", "ecg", ",", "spo2", ...maybe(random, ",", "nibp"), ...maybe(random, "every", "5 min")],
    ["at-hand", ...atHand, ...maybe(random, ",", quoted("suction"))],
    ["staff", number(random, 1, 4)],
    ["site-marked"],
    [quoted("Consent recorded")],
  ];
  return ["prepare", block(...shuffled(random, items.slice(random.below(items.length))))];
}

function stepsSection(random: Random, names: StepNames): Statement {
  const stages = names.stages.map((name) => stage(random, name, names, 3));
  return ["steps", block(...steps(random, names, 3, 8), ...stages, step(random, names, 0))];
}

function emergency(
  random: Random,
  name: string,
  rescue: AgentNames,
  agents: readonly AgentNames[],
  names: StepNames,
): Statement {
  const own = random.oneIn(2) ? [`${name}-bolus`] : [];
  const inside = { ...names, doses: [...names.doses, ...own] };
  return [
    "emergency",
    name,
    ...maybe(random, quoted("Systemic toxicity")),
    block(...own.map((of) => dose(random, of, rescue, agents)), ...steps(random, inside, 2)),
  ];
}

function ownRoutine(random: Random, names: StepNames): Statement[] {
  if (!names.routines.includes("own-release")) return [];
  const others = names.routines.filter((name) => name !== "own-release");
  return [routine(random, "own-release", { ...names, routines: others })];
}

function routine(random: Random, name: string, names: StepNames): Statement {
  return ["routine", name, ...maybe(random, quoted("Release in stages")), block(...steps(random, names, 2))];
}
