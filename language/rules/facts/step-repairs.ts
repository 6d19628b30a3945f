import type { Origin, Repair } from "@limbwright/shared/finding";
import { listText } from "@limbwright/shared/text";
import { innerSteps, type Protocol, type Step, type Timer } from "../../model/index.ts";
import { insertBefore, linesBefore, linesInstead, needsALook } from "../../model/text-changes.ts";
import { cuffNames, cuffWords, pickCuffs, stepWords } from "../../runs/index.ts";
import { isSamePlace, stepAt } from "./shown-run.ts";

/** Where a step stands: its list, and the steps around it from the outside in. */
interface Position {
  readonly list: readonly Step[];
  readonly at: number;
  readonly around: readonly Step[];
}

/** The first place at which a step is done; a routine that is done twice is written once. */
export function standingOf(protocol: Protocol, origin: Origin): Position | undefined {
  return firstOf(listsOfSteps(protocol), (list) => standingIn(list, origin, []));
}

function standingIn(list: readonly Step[], origin: Origin, around: readonly Step[]): Position | undefined {
  const at = list.findIndex((step) => isSamePlace(step.origin, origin));
  if (at >= 0) return { list, at, around };
  return firstOf(list, (step) =>
    firstOf(innerSteps(step), (inner) => standingIn(inner, origin, [...around, step])),
  );
}

function firstOf<T, R>(all: readonly T[], find: (one: T) => R | undefined): R | undefined {
  for (const one of all) {
    const found = find(one);
    if (found !== undefined) return found;
  }
  return undefined;
}

/** The steps of the plan, of each answer that is in force throughout, and of each emergency. */
export function listsOfSteps({ steps = [], throughout, emergencies }: Protocol): (readonly Step[])[] {
  return [steps, ...[...throughout, ...emergencies].map((one) => one.steps)];
}

/**
 * The repair that has steps done before another, by their words: each is moved where it stands later in the same list and
 * says nothing more, else it is written anew.
 */
export function doneBefore(protocol: Protocol, origin: Origin, ...wanted: readonly string[]): Repair[] {
  const standing = standingOf(protocol, origin);
  const later = standing?.list.slice(standing.at + 1).filter(isBare) ?? [];
  const moved = wanted.flatMap((words) => later.find((step) => stepWords(step) === words) ?? []);
  if (moved.length === 0) return insertBefore(origin, ...wanted);
  const does = moved.length < wanted.length ? "Write or move" : "Move";
  return needsALook(
    `${does} ${listText(wanted)} before it`,
    linesBefore(origin, wanted),
    ...moved.map((step) => ({ origin: step.origin, text: "" })),
  );
}

/**
 * The repair that moves a step that stands later in the same list before another. None where what is between may not wait, or where
 * words of the step would be lost.
 */
export function repairByDoingSooner(
  protocol: Protocol,
  origin: Origin,
  wanted: { readonly step: (step: Step) => boolean; readonly mayWait: (between: Step) => boolean },
): Repair[] {
  const standing = standingOf(protocol, origin);
  const later = standing?.list.slice(standing.at + 1) ?? [];
  const at = later.findIndex(wanted.step);
  const sooner = later[at];
  if (!sooner || !isBare(sooner) || !later.slice(0, at).every(wanted.mayWait)) return [];
  return doneBefore(protocol, origin, stepWords(sooner));
}

/** Whether a step carries nothing that would be lost when its words are written elsewhere. */
function isBare({ notes, roles, takes }: Step): boolean {
  return notes.length === 0 && roles.length === 0 && takes === undefined;
}

/** The repair that has one of the cuffs that are up confirmed before a step. */
export function repairByConfirming(protocol: Protocol, origin: Origin, up: readonly string[]): Repair[] {
  const [first] = up;
  return first === undefined ? [] : doneBefore(protocol, origin, `confirm ${first}`);
}

/** The repair that has another cuff up and confirmed before one is let down. */
export function repairByOtherCuffFirst(protocol: Protocol, deflation: Origin): Repair[] {
  const step = stepAt(protocol, deflation);
  if (step?.kind !== "deflate" || step.flatFor) return [];
  const names = cuffNames(protocol);
  const others = names.filter((name) => !pickCuffs(step.cuffs, names).includes(name));
  const words = others.flatMap((cuff) => [`inflate ${cuff}`, `confirm ${cuff}`]);
  return words.length > 0 ? doneBefore(protocol, deflation, ...words) : [];
}

/** The repair that has a cuff up and confirmed before a step: the one that the steps behind it inflate, else the first. */
export function repairByOccluding(protocol: Protocol, origin: Origin): Repair[] {
  const standing = standingOf(protocol, origin);
  const later = standing?.list.slice(standing.at + 1).find(({ kind }) => kind === "inflate");
  const cuff = later?.kind === "inflate" ? cuffWords(later.cuffs) : protocol.cuffs?.cuffs[0]?.name;
  return cuff === undefined ? [] : doneBefore(protocol, origin, `inflate ${cuff}`, `confirm ${cuff}`);
}

/**
 * The repair that has a timer waited for before a release. It is written before the repeats or the routine that the
 * release is part of: a routine of a file of its own knows no timers, and a repeat would wait again. None where the timer
 * may not run yet.
 */
export function repairByWaiting(protocol: Protocol, release: Origin, timer: Timer): Repair[] {
  const place = beforeRounds(protocol, release);
  const standing = standingOf(protocol, place);
  const { from } = timer;
  const starts = (step: Step) => step.kind === "inject" && from?.kind === "end" && step.dose === from.target;
  const isRunning = standing?.list.slice(0, standing.at).some(starts);
  return isRunning ? insertBefore(place, `wait for ${timer.name}`) : [];
}

/** Before which a section of the protocol can be written. */
export function placeOfSection({ emergencies, preparation, timers, cuffs }: Protocol): Origin | undefined {
  return (emergencies[0] ?? preparation ?? timers[0] ?? cuffs)?.origin;
}

/** The repair that writes an answer in `throughout`; where there is none yet, in one of its own. */
export function writeInThroughout(protocol: Protocol, title: string, answer: readonly string[]): Repair[] {
  const [first] = protocol.throughout;
  const empty = protocol.emptyThroughout;
  if (first) return needsALook(title, linesBefore(first.origin, answer));
  const place = placeOfSection(protocol);
  const section = ["throughout {", ...answer.map((line) => `  ${line}`), "}"];
  if (empty) return needsALook(title, linesInstead(empty, section));
  return place ? needsALook(title, linesBefore(place, [...section, ""])) : [];
}

/** The repair that writes lines before a step, and before the repeats or the routine that it is part of. */
export function writeBeforeRounds(
  protocol: Protocol,
  origin: Origin,
  title: string,
  lines: readonly string[],
): Repair[] {
  return needsALook(title, linesBefore(beforeRounds(protocol, origin), lines));
}

/** The repeats or the routine that a step is part of, or the step itself. */
export function beforeRounds(protocol: Protocol, origin: Origin): Origin {
  const around = standingOf(protocol, origin)?.around ?? [];
  return around.find(({ kind }) => kind === "repeat" || kind === "do")?.origin ?? origin;
}
