import type { Origin } from "@limbwright/shared/finding";
import {
  type Emergency,
  type Handler,
  type HoldingSteps,
  holdsSteps,
  isWork,
  type Protocol,
  type Step,
} from "../../model/index.ts";

/**
 * A place on the ways through an answer: what is met there, and where a way goes on. Ways part at a question and at a
 * `confirm` with `else`, go round in a `repeat`, pass from one emergency into the next, and may circle.
 */
export type WayPlace = WayStep | WayQuestion | WayRound | WayRest | WayEntry | WayEnd;

/** A step that is in hand for a time. `next` are all places that may come after it: two where it may fail. */
export interface WayStep extends Interruptible {
  readonly kind: "step";
  readonly step: StepOnTheWay;
  readonly next: readonly WayPlace[];
}

/** A step that is not itself a fork, a round, a stage or a way out. */
export type StepOnTheWay = Exclude<
  Step,
  { readonly kind: "stage" | "repeat" | "do" | "ask" | "finish" | "end-stage" | "go-to-emergency" }
>;

export interface WayQuestion extends Interruptible {
  readonly kind: "question";
  readonly step: Extract<Step, { readonly kind: "ask" }>;
  /** Where *yes* leads, and where *no* does. */
  readonly next: readonly [WayPlace, WayPlace];
}

/** A round of a `repeat` is over: the next one, or what comes after all of them. */
export interface WayRound {
  readonly kind: "round";
  readonly step: Extract<Step, { readonly kind: "repeat" }>;
  next: readonly WayPlace[];
}

/** The steps of a stage are done, and its shortest time has not passed. */
export interface WayRest extends Interruptible {
  readonly kind: "rest";
  readonly step: StageStep;
  readonly next: readonly WayPlace[];
}

/** Into an emergency, which none of what stands around the answer outlasts. */
export interface WayEntry {
  readonly kind: "emergency";
  readonly emergency: Emergency;
  next: readonly WayPlace[];
}

/**
 * How a way ends: back to what the answer interrupted, or out of a stage around it; with the run, by `finish` or after the
 * last step of an emergency.
 */
export interface WayEnd {
  readonly kind: "end";
  readonly how: "returns" | "run-ends" | "interruption-over";
  /** The step that ends it, or what it is the end of. */
  readonly origin: Origin;
  readonly next: readonly [];
}

interface Interruptible {
  /** The handlers of stages around: any of them may come in between. */
  readonly interruptions: readonly Interruption[];
}

/** Where what a handler does begins. */
export interface Interruption {
  readonly handler: Handler;
  readonly first: WayPlace;
}

type StageStep = Extract<Step, { readonly kind: "stage" }>;

/** The place at which the answer of a handler begins. */
export function waysOfAnswer(protocol: Protocol, handler: Handler): WayPlace {
  const returns = end("returns", handler.origin);
  const leavesStage = protocol.throughout.includes(handler) ? undefined : returns;
  const setting = { protocol, entries: new Map(), stages: [], interruptions: [], leavesStage };
  return build(handler.steps, returns, setting);
}

/** Every place that some way comes to, each once. */
export function placesOf(first: WayPlace): WayPlace[] {
  const seen = new Set([first]);
  for (const place of seen) {
    for (const next of [...place.next, ...interruptionsOf(place).map(({ first: of }) => of)]) seen.add(next);
  }
  return [...seen];
}

/** Whether some way through an answer leads back to what it interrupted. */
export function mayReturn(protocol: Protocol, handler: Handler): boolean {
  return placesOf(waysOfAnswer(protocol, handler)).some(
    (place) => place.kind === "end" && place.how === "returns",
  );
}

export function interruptionsOf(place: WayPlace): readonly Interruption[] {
  return "interruptions" in place ? place.interruptions : [];
}

interface Setting {
  readonly protocol: Protocol;
  readonly entries: Map<string, WayEntry>;
  /** The stages around, from the outside in, with where a way goes on after each. */
  readonly stages: readonly { readonly name: string; readonly exit: WayPlace }[];
  readonly interruptions: readonly Interruption[];
  /** Where `end stage` leads where it ends a stage that the answer interrupted. */
  readonly leavesStage: WayPlace | undefined;
}

function end(how: WayEnd["how"], origin: Origin): WayEnd {
  return { kind: "end", how, origin, next: [] };
}

/** Steps that lead on to `after`; gives the place before the first. */
function build(steps: readonly Step[], after: WayPlace, setting: Setting): WayPlace {
  return steps.reduceRight((next, step) => buildStep(step, next, setting), after);
}

function buildStep(step: Step, after: WayPlace, setting: Setting): WayPlace {
  if (holdsSteps(step)) return buildHolding(step, after, setting);
  if (isWork(step)) return inHand(step, after, setting);
  switch (step.kind) {
    case "finish":
      return end("run-ends", step.origin);
    case "end-stage":
      return stageExit(step.stage, setting) ?? after;
    case "go-to-emergency":
      return entryOf(step.emergency, setting) ?? end("run-ends", step.origin);
    case "inflate":
    case "deflate":
    case "inject":
    case "give":
    case "wait":
    case "wait-for":
    case "watch":
    case "recovery":
      return inHand(step, after, setting);
  }
}

function inHand(step: StepOnTheWay, after: WayPlace, { interruptions }: Setting): WayStep {
  return { kind: "step", step, next: [after], interruptions };
}

function buildHolding(step: HoldingSteps, after: WayPlace, setting: Setting): WayPlace {
  const { interruptions } = setting;
  switch (step.kind) {
    case "do":
      return build(step.steps, after, setting);
    case "repeat":
      return buildRounds(step, after, setting);
    case "ask": {
      const [yes, no] = [build(step.yes, after, setting), build(step.no, after, setting)];
      return { kind: "question", step, next: [yes, no], interruptions };
    }
    case "confirm": {
      const failed = step.otherwise ? [build(step.otherwise, after, setting)] : [];
      return { kind: "step", step, next: [after, ...failed], interruptions };
    }
    case "stage":
      return buildStage(step, after, setting);
  }
}

function buildRounds(step: WayRound["step"], after: WayPlace, setting: Setting): WayPlace {
  if (step.times <= 1) return build(step.steps, after, setting);
  const round: WayRound = { kind: "round", step, next: [] };
  const first = build(step.steps, round, setting);
  round.next = [first, after];
  return first;
}

function buildStage(step: StageStep, after: WayPlace, setting: Setting): WayPlace {
  const stages = [...setting.stages, { name: step.name, exit: after }];
  const bodies = step.handlers.map((handler) => {
    const over = end("interruption-over", handler.origin);
    return { handler, first: build(handler.steps, over, { ...setting, stages, interruptions: [] }) };
  });
  const interruptions = [...setting.interruptions, ...bodies];
  const rest: WayRest = { kind: "rest", step, next: [after], interruptions };
  const isLonger = step.takes !== undefined && step.takes.shortest.compare(0) > 0;
  return build(step.steps, isLonger ? rest : after, { ...setting, stages, interruptions });
}

/** Out of the stage of that name, or the innermost; a stage that the answer does not hold is one that it interrupted. */
function stageExit(name: string | undefined, { stages, leavesStage }: Setting): WayPlace | undefined {
  const stage = stages.findLast((one) => name === undefined || one.name === name);
  return stage?.exit ?? leavesStage;
}

/** Its steps are built the first time it is asked for; from then on it is known, so that emergencies may lead in a circle. */
function entryOf(name: string, setting: Setting): WayPlace | undefined {
  const { protocol, entries } = setting;
  const known = entries.get(name);
  if (known) return known;
  const emergency = protocol.emergencies.find((one) => one.name === name);
  if (!emergency) return undefined;
  const entry: WayEntry = { kind: "emergency", emergency, next: [] };
  entries.set(name, entry);
  const inside = { ...setting, stages: [], interruptions: [], leavesStage: undefined };
  entry.next = [build(emergency.steps, end("run-ends", emergency.nameOrigin), inside)];
  return entry;
}
