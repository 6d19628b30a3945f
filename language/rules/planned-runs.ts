import type { Emergency, Protocol, Step } from "../model/index.ts";
import { countsKey, type DoseCounts, once, plus, type Uncounted } from "./dose-counts.ts";

/** The doses of a run that goes as planned. */
export interface PlannedRun {
  readonly counts: DoseCounts;
  /** The steps that give them, in the order in which each is last taken. */
  readonly givings: readonly Step[];
  /** The emergency the run consists of; undefined for the plan itself. */
  readonly emergency?: Emergency;
}

/**
 * What is given when nothing unforeseen happens: the steps in order, with routines and repeats written out,
 * and a run for each way of answering the questions that gives other doses. Each emergency is a run of its
 * own, which leaves out what was given before it.
 */
export function plannedRuns(protocol: Protocol): readonly PlannedRun[] | Uncounted {
  const start: Path = { counts: new Map(), givings: [], ending: { kind: "on" } };
  const work = { left: MOST_STEPS };
  const plan = walked(protocol.steps ?? [], [start], { protocol, within: [], work });
  const inEmergencies = protocol.emergencies.map((emergency) => ({
    emergency,
    paths: walked(emergency.steps, [start], { protocol, within: [emergency.name], work }),
  }));
  if (!plan || inEmergencies.some(({ paths }) => !paths)) return { limit: TOO_MANY };
  return [
    ...plan.map(({ counts, givings }) => ({ counts, givings })),
    ...inEmergencies.flatMap(({ emergency, paths = [] }) =>
      paths.map(({ counts, givings }) => ({ counts, givings, emergency })),
    ),
  ];
}

/** More ways of answering questions, and more steps in all, are not gone through. */
const MOST_PATHS = 256;
const MOST_STEPS = 20_000;

const TOO_MANY = "the steps can be gone through in too many ways, or too often, to be counted one by one";

/** How a list of steps ends: it goes on, its stage is left, or the run is over. */
type Ending =
  | { readonly kind: "on" }
  | { readonly kind: "stage"; readonly stage?: string }
  | { readonly kind: "over" };

interface Path {
  readonly counts: DoseCounts;
  readonly givings: readonly Step[];
  readonly ending: Ending;
}

interface Walk {
  readonly protocol: Protocol;
  /** The emergencies the walk is in: one that leads back to itself is not entered again. */
  readonly within: readonly string[];
  /** Counts down, step by step. */
  readonly work: { left: number };
}

/** Follows the steps from each path that goes on; undefined when the paths become too many. */
function walked(steps: readonly Step[], from: readonly Path[], walk: Walk): Path[] | undefined {
  let paths = [...from];
  for (const step of steps) {
    const next: Path[] = [];
    walk.work.left -= paths.length;
    if (walk.work.left < 0) return undefined;
    for (const path of paths) {
      const after = path.ending.kind === "on" ? stepped(step, path, walk) : [path];
      if (!after) return undefined;
      next.push(...after);
    }
    paths = different(next);
    if (paths.length > MOST_PATHS) return undefined;
  }
  return paths;
}

function stepped(step: Step, path: Path, walk: Walk): Path[] | undefined {
  switch (step.kind) {
    case "inject":
    case "give":
      return [given(step, step.dose, path)];
    case "do":
      return walked(step.steps, [path], walk);
    case "repeat":
      return repeated(step.steps, step.times, path, walk);
    case "stage":
      return walked(step.steps, [path], walk)?.map((end) => leftStage(end, step.name));
    case "ask": {
      const yes = walked(step.yes, [path], walk);
      const no = walked(step.no, [path], walk);
      return yes && no && [...yes, ...no];
    }
    case "end-stage":
      return [{ ...path, ending: { kind: "stage", ...(step.stage !== undefined && { stage: step.stage }) } }];
    case "finish":
      return [{ ...path, ending: { kind: "over" } }];
    case "go-to-emergency":
      return enteredEmergency(step.emergency, path, walk);
    default:
      return [path];
  }
}

function given(step: Step, dose: string, path: Path): Path {
  const before = path.givings.filter((other) => other !== step);
  return { ...path, counts: plus(path.counts, once(dose)), givings: [...before, step] };
}

/** Ends early where a round changes nothing: no dose is in it. */
function repeated(steps: readonly Step[], times: number, path: Path, walk: Walk): Path[] | undefined {
  let paths: Path[] | undefined = [path];
  for (let round = 0; round < times && paths; round += 1) {
    const before: Path[] = paths;
    paths = walked(steps, before, walk);
    if (paths && sameKeys(before, paths)) break;
  }
  return paths;
}

function sameKeys(a: readonly Path[], b: readonly Path[]): boolean {
  return (
    a.length === b.length && a.every((path, at) => path === b[at] || pathKey(path) === pathKey(b[at] ?? path))
  );
}

function leftStage(path: Path, name: string): Path {
  const { ending } = path;
  const isLeft = ending.kind === "stage" && (ending.stage === undefined || ending.stage === name);
  return isLeft ? { ...path, ending: { kind: "on" } } : path;
}

function enteredEmergency(name: string, path: Path, walk: Walk): Path[] | undefined {
  const emergency = walk.protocol.emergencies.find((one) => one.name === name);
  const over: Path = { ...path, ending: { kind: "over" } };
  if (!emergency || walk.within.includes(name)) return [over];
  const paths = walked(emergency.steps, [path], { ...walk, within: [...walk.within, name] });
  return paths?.map((end) => ({ ...end, ending: over.ending }));
}

function different(paths: readonly Path[]): Path[] {
  const found = new Map<string, Path>();
  for (const path of paths) {
    const key = pathKey(path);
    if (!found.has(key)) found.set(key, path);
  }
  return [...found.values()];
}

function pathKey({ counts, ending }: Path): string {
  return `${countsKey(counts)} ${JSON.stringify(ending)}`;
}
