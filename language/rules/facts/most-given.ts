import {
  type Emergency,
  type Handler,
  holdsSteps,
  type Protocol,
  type Step,
  stepsWithin,
} from "../../model/index.ts";

/**
 * The most that any run can give: every handler as often as it may happen in its stage, every way of
 * answering the questions, and the emergency that ends the run. No run gives more of anything than one of
 * these does; some of them may belong to no run.
 */
export function mostGiven(protocol: Protocol): readonly DoseCounts[] | Uncounted {
  try {
    const steps = mostOf(protocol.steps ?? []);
    const handlers = protocol.throughout.map(mostOfHandler);
    const emergencies = protocol.emergencies.map((emergency) => mostOfEmergency(emergency, protocol, []));
    return [steps, ...handlers, greatest([NOTHING, ...emergencies])].reduce(sumPairs, NOTHING);
  } catch (error) {
    if (error instanceof Endless) return { limit: error.message };
    throw error;
  }
}

/** More alternatives than this are taken together as one that gives as much as each of them. */
const MOST_ALTERNATIVES = 64;

/** Thrown inside `mostGiven` where there is no most; it never leaves this file. */
class Endless extends Error {}

const NOTHING: readonly DoseCounts[] = [new Map()];

function mostOf(steps: readonly Step[]): readonly DoseCounts[] {
  return steps.map(mostOfStep).reduce(sumPairs, NOTHING);
}

function mostOfStep(step: Step): readonly DoseCounts[] {
  if ("dose" in step) return [countOnce(step.dose)];
  if (!holdsSteps(step)) return NOTHING;
  switch (step.kind) {
    case "do":
      return mostOf(step.steps);
    case "repeat":
      return repeatCounts(mostOf(step.steps), step.times);
    case "ask":
      return greatest([mostOf(step.yes), mostOf(step.no)]);
    case "confirm":
      return mostOf(step.otherwise ?? []);
    case "stage":
      return [mostOf(step.steps), ...step.handlers.map(mostOfHandler)].reduce(sumPairs, NOTHING);
  }
}

/** What a handler gives per entry of its stage; one that reaches a time does so once. */
function mostOfHandler(handler: Handler): readonly DoseCounts[] {
  const each = mostOf(handler.steps);
  if (each.every((counts) => counts.size === 0)) return NOTHING;
  const times = handler.kind === "reaches" ? 1 : handler.times;
  if (times === undefined) throw new Endless("a `when` gives a dose without saying how often");
  return repeatCounts(each, times);
}

function mostOfEmergency(
  emergency: Emergency,
  protocol: Protocol,
  within: readonly string[],
): readonly DoseCounts[] {
  if (within.includes(emergency.name)) {
    throw new Endless(`the emergency \`${emergency.name}\` leads back to itself`);
  }
  const next = protocol.emergencies.filter((other) => leadsTo(emergency.steps, other.name));
  const further = next.map((other) => mostOfEmergency(other, protocol, [...within, emergency.name]));
  return sumPairs(mostOf(emergency.steps), greatest([NOTHING, ...further]));
}

function leadsTo(steps: readonly Step[], emergency: string): boolean {
  return [...stepsWithin(steps)].some(
    (step) => step.kind === "go-to-emergency" && step.emergency === emergency,
  );
}

/** By doubling, so that even a great number of times is soon there. */
function repeatCounts(alternatives: readonly DoseCounts[], times: number): readonly DoseCounts[] {
  if (times === 0) return NOTHING;
  const half = repeatCounts(alternatives, Math.floor(times / 2));
  const even = sumPairs(half, half);
  return times % 2 === 0 ? even : sumPairs(even, alternatives);
}

/** Every sum of one of the first and one of the second. */
function sumPairs(first: readonly DoseCounts[], second: readonly DoseCounts[]): readonly DoseCounts[] {
  return dropDominated(first.flatMap((a) => second.map((b) => addCounts(a, b))));
}

function greatest(alternatives: readonly (readonly DoseCounts[])[]): readonly DoseCounts[] {
  return dropDominated(alternatives.flat());
}

/** Those that no other exceeds in everything; when they are too many, the one that is as great as all. */
function dropDominated(all: readonly DoseCounts[]): readonly DoseCounts[] {
  const found = [...new Map(all.map((counts) => [countsKey(counts), counts])).values()];
  if (found.length > MOST_ALTERNATIVES ** 2) return [found.reduce(greaterOfEach)];
  const kept = found.filter((counts) => !found.some((other) => other !== counts && isWithin(counts, other)));
  return kept.length > MOST_ALTERNATIVES ? [kept.reduce(greaterOfEach)] : kept;
}

/** How often each dose is given in a run, by the dose's name; a dose that is left out is not given. */
export type DoseCounts = ReadonlyMap<string, number>;

/** Why counts cannot be given: there are too many, or there is no most. */
export interface Uncounted {
  readonly limit: string;
}

function addCounts(a: DoseCounts, b: DoseCounts): DoseCounts {
  const result = new Map(a);
  for (const [dose, count] of b) result.set(dose, count + (a.get(dose) ?? 0));
  return result;
}

function countOnce(dose: string): DoseCounts {
  return new Map([[dose, 1]]);
}

/** Whether the first gives nothing more often than the second. */
function isWithin(counts: DoseCounts, other: DoseCounts): boolean {
  return [...counts].every(([dose, count]) => count <= (other.get(dose) ?? 0));
}

/** The greater count of each dose. */
function greaterOfEach(a: DoseCounts, b: DoseCounts): DoseCounts {
  const result = new Map(a);
  for (const [dose, count] of b) result.set(dose, Math.max(count, a.get(dose) ?? 0));
  return result;
}

/** A text that is the same for equal counts and no others. */
function countsKey(counts: DoseCounts): string {
  return JSON.stringify([...counts].sort());
}
