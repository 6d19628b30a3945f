import { durationText, inBase } from "@limbwright/shared/quantity";
import {
  type AutomatonEvent,
  type AutomatonStep,
  EVERY_CUFF,
  keyOfStep,
  lastingWords,
  wordsOfHappening,
  wordsOfStep,
} from "@limbwright/shared/runtime";
import type { CuffChoice, Duration, Handler, Step, TaskTopic } from "../../model/index.ts";
import {
  action,
  cuffAction,
  durationOrAction,
  givingTime,
  type Lasting,
  lastingAsWritten,
  lastingOfDuration,
  longerBy,
  secondsOf,
  type Timing,
} from "./durations.ts";
import {
  comingUpAgain,
  type EffectSetting,
  feeling,
  giveDose,
  goingFlat,
  goingUp,
  rememberCuffs,
} from "./effects.ts";
import { CONFIRMED, HOLD, IN_LIMB, isConfirmed, isFlat, isUp, pickCuffs, set, UP } from "./facts.ts";
import { changing, type Effect, joinEffects, NO_EFFECT, passMoment } from "./moments.ts";

type Kind = Step["kind"];
export type StepOf<K extends Kind> = Extract<Step, { readonly kind: K }>;

interface Told<S> {
  /** What tells it from other steps of its kind: the edges of an automaton carry it, and a reader is told it in words. */
  readonly data: (step: S) => Omit<AutomatonStep, "kind">;
}

/** A step that is in hand for some time. */
interface InHand<S> extends Told<S> {
  readonly lasting: (step: S, timing: Timing) => Lasting;
  /** What it changes as it starts, and as it ends. */
  readonly atStart: (step: S, setting: EffectSetting) => Effect;
  readonly atEnd: (step: S, setting: EffectSetting) => Effect;
  /** What is done where it fails, and what that changes. */
  readonly onFailure: Failing<S> | "cannot fail";
}

interface Failing<S> {
  readonly otherwise: (step: S) => readonly Step[] | undefined;
  readonly effect: (step: S, setting: EffectSetting) => Effect;
}

/** A step that leads on to others: `steps.ts` builds each in its own way. */
interface LeadingOn<S> extends Told<S> {
  readonly lasting: "no time of its own";
}

/**
 * What each kind of step means in the automaton. It is the one place: a kind without a line here, or with half of one, is refused by
 * the compiler.
 */
const MEANINGS = {
  "apply-cuffs": {
    data: nothingElse,
    lasting: action,
    atStart: nothing,
    atEnd: nothing,
    onFailure: "cannot fail",
  },
  "insert-cannula": {
    data: nothingElse,
    lasting: action,
    atStart: nothing,
    atEnd: () => changing(set("cannula", 1), set("line checked", 0)),
    onFailure: "cannot fail",
  },
  "remove-cannula": {
    data: nothingElse,
    lasting: (step, timing) => durationOrAction(step, step.press, timing),
    atStart: () => changing(set("cannula", 0)),
    atEnd: nothing,
    onFailure: "cannot fail",
  },
  exsanguinate: {
    data: ({ method }) => ({ method }),
    lasting: (step, timing) => durationOrAction(step, step.duration, timing),
    atStart: ({ method }) => (method === "bandage" ? changing(set("bandage", 1)) : NO_EFFECT),
    atEnd: () => changing(set("emptied", 1)),
    onFailure: "cannot fail",
  },
  "remove-bandage": {
    data: nothingElse,
    lasting: action,
    atStart: nothing,
    atEnd: () => changing(set("bandage", 0)),
    onFailure: "cannot fail",
  },
  inflate: {
    data: ({ cuffs }) => cuffData(cuffs),
    lasting: cuffAction,
    atStart: nothing,
    atEnd: ({ cuffs }, setting) => goingUp(pickCuffs(cuffs, setting.cuffs), isFlat, setting),
    onFailure: "cannot fail",
  },
  deflate: {
    data: ({ cuffs, flatFor, forEmergency }) => ({
      ...cuffData(cuffs),
      ...(flatFor && { for: secondsOf(flatFor) }),
      ...(forEmergency && { forEmergency }),
    }),
    lasting: (step, timing) => longerBy(secondsOf(step.flatFor), cuffAction(step, timing)),
    atStart: ({ cuffs, flatFor }, setting) => {
      const deflated = pickCuffs(cuffs, setting.cuffs);
      return joinEffects(flatFor ? rememberCuffs(deflated) : NO_EFFECT, goingFlat(deflated, setting));
    },
    atEnd: ({ cuffs, flatFor }, setting) =>
      flatFor ? comingUpAgain(pickCuffs(cuffs, setting.cuffs), setting) : NO_EFFECT,
    onFailure: "cannot fail",
  },
  confirm: {
    data: ({ cuffs }) => cuffData(cuffs),
    lasting: cuffAction,
    atStart: nothing,
    atEnd: ({ cuffs }, setting) => feeling(pickCuffs(cuffs, setting.cuffs), isUp, CONFIRMED),
    onFailure: {
      otherwise: ({ otherwise }) => otherwise,
      // Whatever was felt before, it counts no longer.
      effect: ({ cuffs }, setting) => feeling(pickCuffs(cuffs, setting.cuffs), isConfirmed, UP),
    },
  },
  "confirm-no-pulse": {
    data: nothingElse,
    lasting: action,
    atStart: nothing,
    atEnd: () => changing(set("pulse gone", 1)),
    onFailure: "cannot fail",
  },
  inject: {
    data: ({ dose }) => ({ dose }),
    lasting: givingTime,
    atStart: ({ dose, intoOtherLimb }, { counted }) =>
      // In another limb it is in the body at once, as any dose that is given.
      intoOtherLimb
        ? giveDose(dose)
        : joinEffects(
            changing(set("drug", IN_LIMB), set("hold runs", 0), set("deflations", 0)),
            giveDose(dose),
            passMoment(`start of ${dose}`, counted),
          ),
    atEnd: ({ dose, intoOtherLimb }, { counted }) =>
      intoOtherLimb
        ? NO_EFFECT
        : joinEffects(
            { set: [set("hold runs", 1)], reset: [{ clock: HOLD }] },
            passMoment(`end of ${dose}`, counted),
          ),
    onFailure: "cannot fail",
  },
  give: {
    data: ({ dose, as }) => ({ dose, ...(as && { as }) }),
    lasting: givingTime,
    atStart: ({ dose }, { counted }) => joinEffects(giveDose(dose), passMoment(`start of ${dose}`, counted)),
    atEnd: ({ dose }, { counted }) => passMoment(`end of ${dose}`, counted),
    onFailure: "cannot fail",
  },
  wait: {
    data: durationData,
    lasting: (step, timing) => durationOrAction(step, step.duration, timing),
    atStart: nothing,
    atEnd: nothing,
    onFailure: "cannot fail",
  },
  watch: {
    data: durationData,
    lasting: (step, timing) => durationOrAction(step, step.duration, timing),
    atStart: nothing,
    atEnd: nothing,
    onFailure: "cannot fail",
  },
  recovery: {
    data: durationData,
    lasting: (step, timing) => durationOrAction(step, step.duration, timing),
    atStart: nothing,
    atEnd: () => changing(set("in force", 0)),
    onFailure: "cannot fail",
  },
  task: {
    data: ({ text, topic }) => (text === "" && topic ? { topic } : { text }),
    lasting: (step, timing) =>
      lastingAsWritten(step, timing) ?? (isAction(step) ? action(step, timing) : { shortest: 0 }),
    atStart: nothing,
    atEnd: ({ topic }) => (topic ? TASK_EFFECTS[topic] : NO_EFFECT),
    onFailure: "cannot fail",
  },
  "wait-for": {
    data: ({ timer }) => ({ timer }),
    lasting: "no time of its own",
  },
  stage: {
    data: ({ name }) => ({ stage: name }),
    lasting: "no time of its own",
  },
  "end-stage": {
    data: ({ stage }) => (stage === undefined ? {} : { stage }),
    lasting: "no time of its own",
  },
  "go-to-emergency": {
    data: ({ emergency }) => ({ emergency }),
    lasting: "no time of its own",
  },
  finish: { data: nothingElse, lasting: "no time of its own" },
  ask: {
    data: ({ question }) => ({ question }),
    lasting: "no time of its own",
  },
  repeat: {
    data: ({ times }) => ({ times }),
    lasting: "no time of its own",
  },
  do: {
    data: ({ routine }) => ({ routine }),
    lasting: "no time of its own",
  },
} as const satisfies { readonly [K in Kind]: InHand<StepOf<K>> | LeadingOn<StepOf<K>> };

/** What is so after a task of a topic. */
const TASK_EFFECTS: Readonly<Record<TaskTopic, Effect>> = {
  pause: changing(set("paused", 1)),
  "cannula-check": changing(set("line checked", 1)),
  "anaesthetic-decision": NO_EFFECT,
  "stop-injection": NO_EFFECT,
  help: NO_EFFECT,
  oxygen: NO_EFFECT,
  seizure: NO_EFFECT,
  arrest: NO_EFFECT,
  "cuff-decision": NO_EFFECT,
};

/** What is read aloud, looked at or decided is an action; all other tasks take as long as they take. */
function isAction({ topic }: StepOf<"task">): boolean {
  return topic === "pause" || topic === "cannula-check" || topic === "anaesthetic-decision";
}

type LeadingOnKind = {
  [K in Kind]: (typeof MEANINGS)[K] extends { readonly lasting: string } ? K : never;
}[Kind];

/** A step that is in hand for some time of its own. */
export type StepInHand = StepOf<Exclude<Kind, LeadingOnKind>>;
export type StepLeadingOn = StepOf<LeadingOnKind>;

export function isInHand(step: Step): step is StepInHand {
  return typeof meaningOf(step).lasting === "function";
}

export function meaningInHand<S extends StepInHand>(step: S): InHand<S> {
  return meaningOf(step) as InHand<S>;
}

/** The table has for each kind what steps of that kind mean, which the type of a step of any kind cannot say. */
function meaningOf<S extends Step>(step: S): InHand<S> | LeadingOn<S> {
  return MEANINGS[step.kind] as unknown as InHand<S> | LeadingOn<S>;
}

/** A step in the words of the language, without its notes: "deflate all for 10 s". */
export function stepWords(step: Step): string {
  return wordsOfStep(stepData(step));
}

/** A step as the edges of an automaton carry it. */
export function stepData(step: Step): AutomatonStep {
  return { kind: step.kind, ...meaningOf(step).data(step) };
}

/** A step without its times: what is done, not how long it takes. */
export function stepWithoutTimes(step: Step): string {
  return keyOfDeed(stepData(step));
}

/** The same of a step as an edge carries it. */
export function keyOfDeed(step: AutomatonStep): string {
  const { shortest: _shortest, longest: _longest, for: flatFor, ...deed } = step;
  return `${keyOfStep(deed)}${flatFor === undefined ? "" : " for a while"}`;
}

/** "tourniquet-pain", "cuff-leak of distal", "hold reaches 45 min". */
export function handlerWords(handler: Handler): string {
  if (handler.kind === "reaches") {
    return `${handler.timer} reaches ${durationText(inBase(handler.limit))}`;
  }
  return wordsOfHappening(eventData(handler));
}

/** What a handler answers, as the edges of an automaton carry it. */
export function eventData({ event, cuff }: EventHandler): AutomatonEvent {
  return { name: event, ...(cuff !== undefined && { cuff }) };
}

type EventHandler = Extract<Handler, { readonly kind: "event" }>;

/** "distal", or "all". */
export function cuffWords(choice: CuffChoice): string {
  return choice.kind === "all" ? EVERY_CUFF : choice.name;
}

export function durationWords(duration: Duration): string {
  const { shortest, longest } = lastingOfDuration(duration);
  return lastingWords(shortest, longest);
}

function nothing(): Effect {
  return NO_EFFECT;
}

function nothingElse(): Omit<AutomatonStep, "kind"> {
  return {};
}

function cuffData(choice: CuffChoice): Pick<AutomatonStep, "cuff"> {
  return { cuff: cuffWords(choice) };
}

function durationData({
  duration,
}: {
  readonly duration: Duration;
}): Pick<AutomatonStep, "shortest" | "longest"> {
  return lastingOfDuration(duration);
}

/** The longest that a step is in hand, in seconds: infinite without a longest time, nothing for one that only leads on. */
export function longestInHand(step: Step, timing: Timing): number {
  if (!isInHand(step)) return 0;
  return meaningInHand(step).lasting(step, timing).longest ?? Number.POSITIVE_INFINITY;
}
