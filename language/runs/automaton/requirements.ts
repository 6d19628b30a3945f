import { inBase } from "@limbwright/shared/quantity";
import type { ClockCondition, Condition, Variable } from "@limbwright/shared/runtime";
import type {
  Action,
  Comparison,
  Protocol,
  Requirement,
  StateCondition,
  Step,
  Timer,
} from "../../model/index.ts";
import { seconds, secondsOf } from "./durations.ts";
import {
  ALWAYS,
  all,
  any,
  BANDAGE_ON,
  CANNULA_IN,
  cuffNames,
  DRUG_GIVEN,
  hasBeen,
  is,
  isConfirmed,
  isFlat,
  isUp,
  not,
  pickCuffs,
  set,
  someUp,
} from "./facts.ts";
import { type Effect, joinEffects, momentName, NO_EFFECT } from "./moments.ts";
import { inOneOrder } from "./one-order.ts";
import type { Instant, WatchedCheck, Watcher } from "./watch.ts";

/** What a protocol's requirements add to its automaton. */
export interface RequirementTracking {
  readonly variables: readonly Variable[];
  readonly tracked: (at: "start" | "end", step: Step) => Effect;
  readonly watcher: Watcher;
}

/** The rule under which a broken requirement is reported; `about` is its place in `requirementsInOrder`. */
export const REQUIREMENT_RULE = "requirement-broken";

/** The requirements of a protocol in an order that does not depend on how they are written down. */
export function requirementsInOrder({ requirements }: Protocol): readonly Requirement[] {
  return inOneOrder(requirements);
}

export function trackRequirements(protocol: Protocol): RequirementTracking {
  const requirements = requirementsInOrder(protocol);
  return {
    variables: requirements.flatMap(({ property: { kind } }, at) =>
      kind === "only-after" || kind === "within" ? [{ name: noteOf(at), first: 0 }] : [],
    ),
    tracked: (at, step) =>
      joinEffects(
        ...requirements.map((requirement, number) => trackAt(requirement, number, at, step, protocol)),
      ),
    watcher: {
      rule: REQUIREMENT_RULE,
      checksAt: (instant) =>
        requirements.flatMap((requirement, number) =>
          checksOf(requirement, number, instant, protocol).map((check) => ({
            ...check,
            about: `${number}`,
          })),
        ),
    },
  };
}

/** What is remembered for a requirement: that the earlier action was done, or that it waits for an answer. */
function noteOf(number: number): string {
  return `requirement ${number + 1}`;
}

function trackAt(
  { property }: Requirement,
  number: number,
  at: "start" | "end",
  step: Step,
  protocol: Protocol,
): Effect {
  if (at === "start") return NO_EFFECT;
  const note = noteOf(number);
  if (property.kind === "only-after") {
    return doesAction(step, property.earlier, protocol) ? { ...NO_EFFECT, set: [set(note, 1)] } : NO_EFFECT;
  }
  if (property.kind !== "within") return NO_EFFECT;
  if (doesAction(step, property.action, protocol)) return { ...NO_EFFECT, set: [set(note, 0)] };
  // The oldest that is unanswered counts: a second one does not begin the time anew.
  return doesAction(step, property.earlier, protocol)
    ? { set: [set(note, 1)], reset: [{ clock: note, when: is(note, 0) }] }
    : NO_EFFECT;
}

function checksOf(
  { property, origin }: Requirement,
  number: number,
  instant: Instant,
  protocol: Protocol,
): WatchedCheck[] {
  const note = noteOf(number);
  switch (property.kind) {
    case "never":
      return instant.kind === "any"
        ? alternatives(property.condition, false, protocol).map((one) => ({ ...one, origin }))
        : [];
    case "only-when":
      return instant.kind === "start" && doesAction(instant.step, property.action, protocol)
        ? alternatives(property.condition, true, protocol)
        : [];
    case "only-after":
      return instant.kind === "start" && doesAction(instant.step, property.action, protocol)
        ? [{ when: is(note, 0) }]
        : [];
    case "within": {
      const waits = is(note, 1);
      if (instant.kind === "finish") return [{ when: waits, origin }];
      const isAnswer = instant.kind === "end" && doesAction(instant.step, property.action, protocol);
      const late: ClockCondition = { clock: note, is: "over", seconds: secondsOf(property.limit) };
      return isAnswer ? [{ when: waits, clocks: [late] }] : [];
    }
  }
}

/** Whether a step is what a requirement names; `all` is every cuff. */
export function doesAction(step: Step, action: Action, protocol: Protocol): boolean {
  if (step.kind !== action.kind) return false;
  if (action.kind === "task") {
    if (step.kind !== "task") return false;
    const sameTopic = action.topic === undefined || action.topic === step.topic;
    return sameTopic && (action.text === undefined || action.text === step.text);
  }
  if ("dose" in action) return "dose" in step && step.dose === action.dose;
  if (!("cuffs" in action)) return true;
  if (!("cuffs" in step)) return false;
  const cuffs = cuffNames(protocol);
  const actsOn = pickCuffs(step.cuffs, cuffs);
  const actsOnAll = pickCuffs(action.cuffs, cuffs).every((cuff) => actsOn.includes(cuff));
  return actsOnAll && isDeflationOf(step, action);
}

/** Whether a deflation is for as long, and as much to save limb or life, as a requirement names it; so is any other step. */
function isDeflationOf(step: Step, action: Action): boolean {
  if (step.kind !== "deflate" || action.kind !== "deflate") return true;
  if (action.forEmergency && !step.forEmergency) return false;
  const { flatFor } = action;
  return !flatFor || (step.flatFor !== undefined && inBase(step.flatFor).equals(inBase(flatFor)));
}

/** One way in which a condition can be so. */
interface Alternative {
  readonly when: Condition;
  readonly clocks: readonly ClockCondition[];
}

/** A condition (or, `negated`, its opposite) as the ways in which it can be so. */
function alternatives(condition: StateCondition, negated: boolean, protocol: Protocol): Alternative[] {
  switch (condition.kind) {
    case "not":
      return alternatives(condition.of, !negated, protocol);
    case "and":
    case "or": {
      const left = alternatives(condition.left, negated, protocol);
      const right = alternatives(condition.right, negated, protocol);
      return (condition.kind === "or") !== negated
        ? [...left, ...right]
        : left.flatMap((a) => right.map((b) => conjoin(a, b)));
    }
    case "since":
      return compareClock(
        momentName(condition.moment),
        condition.comparison,
        secondsOf(condition.limit),
        negated,
      );
    case "timer": {
      const from = protocol.timers.find(({ name }: Timer) => name === condition.timer)?.from;
      return from
        ? compareClock(momentName(from), condition.comparison, seconds(inBase(condition.limit)), negated)
        : [{ when: negated ? ALWAYS : any(), clocks: [] }];
    }
    case "cuff":
    case "bandage":
    case "cannula":
    case "drug-in-limb":
    case "occluded": {
      const fact = factOf(condition, cuffNames(protocol));
      return [{ when: negated ? not(fact) : fact, clocks: [] }];
    }
  }
}

function conjoin(a: Alternative, b: Alternative): Alternative {
  return { when: all(a.when, b.when), clocks: [...a.clocks, ...b.clocks] };
}

const OPPOSITE = { under: "at-least", over: "at-most", least: "under", most: "over" } as const;
const SAME = { under: "under", over: "over", least: "at-least", most: "at-most" } as const;

/** Before the moment has been, every comparison is false. */
function compareClock(clock: string, comparison: Comparison, limit: number, negated: boolean): Alternative[] {
  const kind = (negated ? OPPOSITE : SAME)[comparison];
  const asked: Alternative = { when: hasBeen(clock), clocks: [{ clock, is: kind, seconds: limit }] };
  return negated ? [asked, { when: not(hasBeen(clock)), clocks: [] }] : [asked];
}

type Fact = Extract<StateCondition, { kind: "cuff" | "bandage" | "cannula" | "drug-in-limb" | "occluded" }>;

function factOf(condition: Fact, cuffs: readonly string[]): Condition {
  switch (condition.kind) {
    case "cuff": {
      const ask = { up: isUp, flat: isFlat, confirmed: isConfirmed }[condition.state];
      return all(...pickCuffs(condition.cuffs, cuffs).map(ask));
    }
    case "bandage":
      return condition.on ? BANDAGE_ON : not(BANDAGE_ON);
    case "cannula":
      return condition.in ? CANNULA_IN : not(CANNULA_IN);
    case "drug-in-limb":
      return DRUG_GIVEN;
    case "occluded":
      return someUp(cuffs);
  }
}
