import { BEFORE_TIMES } from "../../language/editor/statement-templates.ts";
import { TASK_TOPICS } from "../../language/model/step.ts";
import type { Random } from "../solver/random.ts";
import { duration, number } from "./random-amounts.ts";
import { block, quoted, type Statement } from "./statements.ts";

/** The names that steps may use where they stand, and what may stand there. */
export interface StepNames {
  readonly cuffs: readonly string[];
  readonly doses: readonly string[];
  readonly timers: readonly string[];
  readonly stages: readonly string[];
  readonly emergencies: readonly string[];
  readonly routines: readonly string[];
  readonly events: readonly string[];
  readonly inStage: boolean;
}

/** Whether a dose may be repeated or run at a rate: such a one is given into the circulation alone. */
export function runsBeside(dose: string): boolean {
  return dose === "drip" || dose.endsWith("-bolus");
}

function onlyInSteps({ doses }: StepNames): readonly string[] {
  return doses.filter((dose) => !runsBeside(dose));
}

const NOTES = [
  "Over padding; tubing labelled to match",
  "22 G, as distal as it goes",
  "Say it aloud // not a comment",
  'A brace { and a \\"quote\\" in a text',
  "Half overlap, fingers to cuff",
];

export const ROLES = ["anaesthetist", "surgeon", "nurse in charge"];

/** One to `most` steps, with blocks at most `depth` deep. */
export function steps(random: Random, names: StepNames, depth: number, most = 4): Statement[] {
  return Array.from({ length: 1 + random.below(most) }, () => step(random, names, depth));
}

export function step(random: Random, names: StepNames, depth: number): Statement {
  const makers = depth > 0 && random.oneIn(3) ? BLOCKS : SIMPLE;
  return random.pick(makers)(random, names, depth) ?? ["wait", ...duration(random)];
}

type Maker = (random: Random, names: StepNames, depth: number) => Statement | undefined;

const SIMPLE: readonly Maker[] = [
  (random) => ["apply", "cuffs", ...details(random)],
  (random) => ["insert", "cannula", ...details(random)],
  (random) => [
    "remove",
    "cannula",
    ...(random.oneIn(2) ? ["press", ...duration(random)] : []),
    ...details(random),
  ],
  (random) => ["exsanguinate", "by", "bandage", ...details(random)],
  (random) => [
    "exsanguinate",
    "by",
    random.pick(["elevation", "arterial-compression"]),
    ...duration(random),
    ...details(random),
  ],
  (random) => ["remove", "bandage", ...details(random)],
  (random, names) => ["inflate", cuff(random, names), ...details(random)],
  (random, names) => ["deflate", cuff(random, names), ...details(random)],
  (random) => ["deflate", "all", "for", `${number(random, 5, 30)} s`, ...details(random)],
  (random, names) => ["deflate", cuff(random, names), "for", "emergency", ...details(random)],
  (random, names) => ["confirm", cuff(random, names), ...details(random)],
  (random) => ["confirm", "no", "pulse", ...details(random)],
  (random, names) => named(random, onlyInSteps(names), (dose) => ["inject", dose, ...details(random)]),
  (random, names) => named(random, names.doses, (dose) => ["give", dose, ...details(random)]),
  (random, names) =>
    named(random, onlyInSteps(names), (dose) => [
      "give",
      dose,
      "as",
      random.pick(["infiltration", "nerve-block"]),
      ...details(random),
    ]),
  (random, names) => named(random, names.timers, (timer) => ["wait", "for", timer, ...details(random)]),
  ...BEFORE_TIMES.filter((words) => !words.includes(" ")).map(
    (word): Maker =>
      (random) => [word, ...duration(random), ...details(random)],
  ),
  (random) => ["task", quoted(random.pick(NOTES)), ...details(random)],
  (random) => ["task", random.pick(TASK_TOPICS), quoted("Now"), ...details(random)],
  (random, names) => named(random, names.emergencies, (emergency) => ["go", "to", "emergency", emergency]),
  () => ["finish"],
  (random, names) => named(random, names.routines, (routine) => ["do", routine]),
  (random, names) =>
    names.inStage
      ? ["end", "stage", ...(names.stages.length > 0 && random.oneIn(2) ? [random.pick(names.stages)] : [])]
      : undefined,
];

const BLOCKS: readonly Maker[] = [
  (random, names, depth) => [
    "repeat",
    number(random, 1, 4),
    "times",
    block(...steps(random, names, depth - 1, 3)),
  ],
  (random, names, depth) => {
    const yes = ["yes", block(...(random.oneIn(4) ? [] : steps(random, names, depth - 1, 2)))];
    const no = ["no", block(...steps(random, names, depth - 1, 2))];
    return ["ask", quoted("Is the block complete?"), block(...(random.oneIn(2) ? [yes, no] : [no, yes]))];
  },
  (random, names, depth) => [
    "confirm",
    cuff(random, names),
    ...details(random),
    "else",
    block(...steps(random, names, depth - 1, 2)),
  ],
];

function cuff(random: Random, names: StepNames): string {
  return random.pick(["all", ...names.cuffs]);
}

function named(
  random: Random,
  among: readonly string[],
  make: (name: string) => Statement,
): Statement | undefined {
  return among.length === 0 ? undefined : make(random.pick(among));
}

/** A note, a role and a time, each or not, in any order. */
function details(random: Random): string[] {
  if (random.oneIn(2)) return [];
  const all: Statement[] = [
    [quoted(random.pick(NOTES))],
    ["by", quoted(random.pick(ROLES))],
    ["takes", ...duration(random)],
  ];
  const from = random.below(all.length);
  return [...all.slice(from), ...all.slice(0, from)].slice(0, 1 + random.below(3)).flat() as string[];
}

/** A stage with its handlers. */
export function stage(random: Random, name: string, names: StepNames, depth: number): Statement {
  const inside = { ...names, inStage: true };
  const handlers = Array.from({ length: random.below(3) }, () => handler(random, inside, depth - 1));
  const takes = random.oneIn(3) ? ["takes", ...duration(random)] : [];
  return ["stage", name, ...takes, block(...steps(random, inside, depth), ...handlers)];
}

/** What is done when something happens or a timer reaches a time. */
export function handler(random: Random, names: StepNames, depth: number): Statement {
  if (names.timers.length > 0 && random.oneIn(3)) {
    return [
      "when",
      random.pick(names.timers),
      "reaches",
      `${number(random, 20, 45)} min`,
      body(random, names, depth),
    ];
  }
  const event =
    names.cuffs.length > 0 && random.oneIn(4)
      ? ["cuff-leak", "of", random.pick(names.cuffs)]
      : [random.pick(names.events)];
  const notBefore = random.oneIn(3) ? ["not", "before", `${number(random, 1, 10)} min`] : [];
  const often = random.oneIn(2) ? ["once"] : ["up", "to", number(random, 1, 3), "times"];
  const isBounded = !random.oneIn(3);
  // Without a bound it may give no dose, and a routine might.
  const inside = isBounded ? names : { ...names, doses: [], routines: [] };
  return ["when", ...event, ...notBefore, ...(isBounded ? often : []), body(random, inside, depth)];
}

function body(random: Random, names: StepNames, depth: number) {
  return block(...steps(random, names, Math.max(depth, 0), 3));
}
