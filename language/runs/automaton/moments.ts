import type { Assignment, Condition, Reset } from "@limbwright/shared/runtime";
import type { Moment, Protocol, Requirement, StateCondition } from "../../model/index.ts";
import { set } from "./facts.ts";

/** What an edge changes. */
export interface Effect {
  readonly set: readonly Assignment[];
  readonly reset: readonly Reset[];
}

export const NO_EFFECT: Effect = { set: [], reset: [] };

export function changing(...set: readonly Assignment[]): Effect {
  return { set, reset: [] };
}

export function joinEffects(...parts: readonly Effect[]): Effect {
  return { set: parts.flatMap((part) => part.set), reset: parts.flatMap((part) => part.reset) };
}

/** The name of a moment, of the clock that counts from it, and of what tells whether it has been. */
export function momentName(moment: Moment): string {
  switch (moment.kind) {
    case "first-inflation":
      return "first inflation";
    case "release":
      return "release";
    case "start":
    case "end":
      return `${moment.kind} of ${moment.target}`;
  }
}

/** The moments that timers and requirements count from, each once. */
export function collectCountedMoments(protocol: Protocol): string[] {
  const fromTimers = protocol.timers.flatMap(({ from }) => (from ? [from] : []));
  const fromRequirements = protocol.requirements.flatMap(momentsOfRequirement);
  return [...new Set([...fromTimers, ...fromRequirements].map(momentName))].sort();
}

function momentsOfRequirement({ property }: Requirement): Moment[] {
  return "condition" in property ? momentsOfCondition(property.condition) : [];
}

function momentsOfCondition(condition: StateCondition): Moment[] {
  switch (condition.kind) {
    case "and":
    case "or":
      return [...momentsOfCondition(condition.left), ...momentsOfCondition(condition.right)];
    case "not":
      return momentsOfCondition(condition.of);
    case "since":
      return [condition.moment];
    case "timer":
    case "cuff":
    case "bandage":
    case "cannula":
    case "drug-in-limb":
    case "occluded":
      return [];
  }
}

/** A moment comes to pass: whatever counts from it begins anew. */
export function passMoment(moment: string, counted: readonly string[], when?: Condition): Effect {
  if (!counted.includes(moment)) return NO_EFFECT;
  return {
    set: [set(`${moment} has been`, 1, when)],
    reset: [{ clock: moment, ...(when && { when }) }],
  };
}
