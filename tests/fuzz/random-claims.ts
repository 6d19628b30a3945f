import { catalogue } from "@limbwright/language";
import type { Random } from "../solver/random.ts";
import { maybe, shuffled } from "./choices.ts";
import { number } from "./random-amounts.ts";
import { ROLES, type StepNames } from "./random-steps.ts";
import { block, quoted, type Statement } from "./statements.ts";

/** An instant of a run, in each of its spellings. */
export function moment(random: Random, names: StepNames): Statement {
  return random.pick<Statement>([
    [random.pick(["start", "end"]), "of", random.pick([...names.doses, ...names.stages])],
    ["first", "inflation"],
    ["release"],
  ]);
}

/** A property of the hospital's own. */
export function requirement(random: Random, names: StepNames): Statement {
  const property = random.pick<Statement>([
    ["never", ...condition(random, names, 2)],
    [...action(random, names), "only", "when", ...condition(random, names, 2)],
    [...action(random, names), "only", "after", ...action(random, names)],
    [...action(random, names), "within", `${number(random, 1, 9)} min`, "of", ...action(random, names)],
  ]);
  return ["require", quoted("As agreed in the department"), block(property)];
}

function action(random: Random, names: StepNames): Statement {
  const cuff = random.pick(["all", ...names.cuffs]);
  return random.pick<Statement>([
    ["apply", "cuffs"],
    ["insert", "cannula"],
    ["remove", random.pick(["cannula", "bandage"])],
    ["exsanguinate"],
    [random.pick(["inflate", "deflate", "confirm"]), cuff],
    ["deflate", "all", "for", "10 s"],
    [random.pick(["inject", "give"]), random.pick(names.doses)],
    ["task", random.pick(["help", "oxygen", "cuff-decision"])],
    ["task", quoted("Reduce and splint")],
  ]);
}

function condition(random: Random, names: StepNames, depth: number): Statement {
  const inner = () => condition(random, names, depth - 1);
  if (depth > 0 && random.oneIn(2)) {
    return random.pick<() => Statement>([
      () => [...inner(), "and", ...inner()],
      () => [...inner(), "or", ...inner()],
      () => ["not", ...inner()],
      () => ["(", ...inner(), ")"],
    ])();
  }
  const compared = [random.pick([["under"], ["over"], ["at", "least"], ["at", "most"]]), ["5 min"]].flat();
  return random.pick<Statement>([
    [random.pick(["all", ...names.cuffs]), random.pick(["up", "flat", "confirmed"])],
    ["bandage", random.pick(["on", "off"])],
    ["cannula", random.pick(["in", "out"])],
    ["drug", "in", "limb"],
    ["occluded"],
    ["since", ...moment(random, names), ...compared],
    ...names.timers.map((timer): Statement => [timer, ...compared]),
  ]);
}

/** Local rules that hold: values no looser than the standard, or with a reason and a role. */
export function localRules(random: Random, name: string): Statement {
  const because = ["because", quoted("Own audit")];
  const by = ["by", quoted(random.pick(ROLES))];
  const entries: Statement[] = [
    [
      "set",
      "action-time",
      `${number(random, 61, 119)} s`,
      ...maybe(random, ...because),
      ...maybe(random, ...by),
    ],
    ["set", "cuff-action-time", `${number(random, 16, 29)} s`],
    ...maybe(random, ruleSetting(random, [because, by])),
    [
      "accept",
      "dose-without-cap",
      ...maybe(random, "in", "wrist-reduction"),
      ...shuffled(random, [because, by, ["until", "2027-01-31"]]).flat(),
    ],
  ];
  return ["local-rules", name, block(...shuffled(random, entries))];
}

const PARAMETERS = catalogue.flatMap((rule) =>
  (rule.parameters ?? []).map((parameter) => ({ rule: rule.id, ...parameter })),
);

/** A parameter of a rule of the catalogue, set to its own standard. */
function ruleSetting(random: Random, reasons: readonly Statement[]): Statement {
  const { rule, name, standard, unit } = random.pick(PARAMETERS);
  const value = `${standard} ${unit}`.trim();
  return ["set", rule, ".", name, value, ...shuffled(random, reasons).flat()];
}

/** A worked case for a protocol, with expectations. */
export function scenario(random: Random, protocol: string, names: StepNames): Statement {
  const lines = Array.from({ length: 2 + random.below(5) }, () => scenarioLine(random, names));
  const values = ["weight", "60 kg", ",", "age", "40 years", ...maybe(random, ",", "systolic", "130 mmHg")];
  return ["scenario", quoted("A worked case"), "for", protocol, block(["patient", ...values], ...lines)];
}

function scenarioLine(random: Random, names: StepNames): Statement {
  if (random.oneIn(5)) return ["run", "to", ...moment(random, names)];
  const leak = names.cuffs.map((cuff): Statement => ["event", "cuff-leak", "of", cuff, "happens"]);
  return [
    ...maybe(random, "after", `${number(random, 1, 40)} min`),
    ...random.pick<Statement>([
      ["task", quoted("Reduce and splint"), "ends"],
      ["event", random.pick(names.events), "happens"],
      ...leak,
      ["answer", quoted("Is the block complete?"), random.pick(["yes", "no"])],
      ["expect", ...action(random, names), "allowed"],
      ["expect", ...action(random, names), "refused", "by", "early-release"],
      ["expect", ...action(random, names), "due", "at", "30 min"],
      ["expect", "dose", random.pick(names.doses), "is", "180 mg"],
      ["expect", "pressure", "is", "250 mmHg"],
    ]),
  ];
}
