import { capital } from "@limbwright/shared/text";
import { type Handler, holdsSteps, type Moment, type Protocol, type Step } from "../../model/index.ts";
import { handlerWords, momentName, stepWords } from "../../runs/index.ts";
import { lastingText } from "../automaton/words.ts";
import { handlerText, ownDuration, stepText } from "../sheet/checklist.ts";
import { emergencyTitle } from "../table/columns.ts";
import type { GivenDose } from "./activity-definitions.ts";
import { canonicalOf, type Interchange } from "./definitions.ts";
import {
  ACTION_TYPE,
  codeableConcept,
  inWords,
  lastingOf,
  quantityOf,
  STEP,
  stringOf,
  unlessEmpty,
} from "./elements.ts";
import type { Action, ActivityDefinition, Applicability, RelatedAction } from "./resources.ts";

/** What the actions of a protocol are made from. */
export interface ActionContext {
  readonly interchange: Interchange;
  readonly doses: readonly GivenDose[];
  /** The action of each emergency, by its name. */
  readonly emergencies: ReadonlyMap<string, string>;
  /** Which action stands for which moment; empty while that is being found out. */
  readonly moments: MomentActions;
  /** The same, while it is being found out. */
  readonly notes: Map<string, readonly string[]>;
  /** Ids of actions: short, in the order of the text. */
  readonly nextId: () => string;
}

/** Steps as actions, each after the one before. */
export function stepActions(context: ActionContext, steps: readonly Step[]): Action[] {
  const actions: Action[] = [];
  for (const step of steps) actions.push(stepAction(context, step, actions.at(-1)));
  return actions;
}

/** What is done when something happens. A handler follows no step: its trigger starts it. */
export function handlerAction(context: ActionContext, handler: Handler): Action {
  const { interchange, moments, nextId } = context;
  const { protocol, notCoded } = interchange;
  const id = nextId();
  const title = handlerText(handler, protocol);
  const words = handlerWords(handler);
  const part = `when ${words}`;
  const common = {
    id,
    title: stringOf(title),
    textEquivalent: stringOf(part),
    code: [codeableConcept(STEP, "when")],
    precheckBehavior: "no",
    ...groupOf(stepActions(context, handler.steps)),
  } as const;
  if (handler.kind === "reaches") {
    const from = timerOrigin(protocol, handler.timer, moments);
    const offsetDuration = quantityOf(handler.limit);
    const isCoded = from !== undefined && offsetDuration !== undefined;
    if (!isCoded) notCoded.inWords(part, "when that is: no one action begins its clock");
    return {
      ...common,
      condition: [applicabilityOf("start", words)],
      ...(isCoded && { relatedAction: [{ ...from, offsetDuration }] }),
    };
  }
  const { times, notBefore } = handler;
  if (notBefore) notCoded.inWords(part, "that it is not before a time in its stage");
  if (times !== undefined && times > 1) notCoded.inWords(part, `that it is at most ${times} times`);
  return {
    ...common,
    trigger: [{ type: "named-event", name: stringOf(words) }],
    cardinalityBehavior: times === 1 ? "single" : "multiple",
  };
}

function stepAction(context: ActionContext, step: Step, previous: Action | undefined): Action {
  const id = context.nextId();
  noteMoments(context, step, id);
  const after: RelatedAction[] = previous ? [{ actionId: previous.id, relationship: "after-end" }] : [];
  const timing = timingOf(context, step);
  const notes = [...step.notes, ...timing.words];
  return {
    id,
    title: stringOf(titleOf(step, context.interchange)),
    ...(notes.length > 0 && { description: stringOf(notes.join("; ")) }),
    textEquivalent: stringOf(stepWords(step)),
    code: [codeableConcept(STEP, step.kind === "task" && step.topic ? `task-${step.topic}` : step.kind)],
    ...(step.kind === "go-to-emergency" && { type: codeableConcept(ACTION_TYPE, "fire-event") }),
    ...unlessEmpty("relatedAction", [...after, ...relationsOf(context, step)]),
    ...timing.coded,
    ...unlessEmpty(
      "participant",
      step.roles.map((role) => ({ type: "practitioner" as const, role: inWords(role) })),
    ),
    requiredBehavior: "must",
    ...innerOf(context, step),
  };
}

/** What the sheet says of a step, without what points to a place on paper. */
function titleOf(step: Step, { protocol }: Interchange): string {
  if (step.kind === "go-to-emergency") return `Go to: ${emergencyTitle(step.emergency, protocol)}`;
  if (step.kind === "do") return capital(step.routine.replaceAll("-", " "));
  if (step.kind !== "end-stage") return stepText(step, protocol);
  return step.stage === undefined ? "End this stage" : `End the stage ${step.stage}`;
}

/** Takes note of the moments that an action stands for: a dose is given, or a stage gone through, from its start to its end. */
function noteMoments({ notes }: ActionContext, step: Step, id: string): void {
  const target = step.kind === "inject" || step.kind === "give" ? step.dose : undefined;
  const span = step.kind === "stage" ? step.name : target;
  const moments = span === undefined ? [] : [`start of ${span}`, `end of ${span}`];
  if (step.kind === "inflate" && !notes.has(FIRST_INFLATION)) moments.push(FIRST_INFLATION);
  for (const moment of moments) notes.set(moment, [...(notes.get(moment) ?? []), id]);
}

/** What a step waits for or leads to, besides the step before it. */
function relationsOf({ interchange, moments, emergencies }: ActionContext, step: Step): RelatedAction[] {
  const { protocol, notCoded } = interchange;
  if (step.kind === "go-to-emergency") {
    const actionId = emergencies.get(step.emergency);
    return actionId === undefined ? [] : [{ actionId, relationship: "before-start" }];
  }
  if (step.kind === "end-stage" || step.kind === "finish") {
    notCoded.inWords(stepWords(step), "that what follows it in its group is then not done");
  }
  if (step.kind !== "wait-for") return [];
  const from = timerOrigin(protocol, step.timer, moments);
  const atLeast = protocol.timers.find(({ name }) => name === step.timer)?.atLeast;
  const low = atLeast && quantityOf(atLeast);
  if (!from || !low) {
    notCoded.inWords(`wait for ${step.timer}`, "how long that is: no one action begins its clock");
    return [];
  }
  return [{ ...from, offsetRange: { low } }];
}

interface StepTiming {
  readonly coded: Pick<Action, "timingTiming" | "cardinalityBehavior">;
  /** What of it stands in words, because it cannot be coded. */
  readonly words: readonly string[];
}

function timingOf({ interchange }: ActionContext, step: Step): StepTiming {
  const { protocol, notCoded } = interchange;
  if (step.kind === "repeat") {
    const timingTiming = { repeat: { count: step.times } };
    return { coded: { timingTiming, cardinalityBehavior: "multiple" }, words: [] };
  }
  if (step.kind === "deflate" && step.flatFor) {
    notCoded.inWords(stepWords(step), "for how long, and that the same cuffs go up again");
  }
  // How long a dose takes stands in its own definition; a step may say its own time besides.
  const isDose = step.kind === "inject" || step.kind === "give";
  const duration = isDose ? step.takes : ownDuration(step, protocol);
  const repeat = duration && lastingOf(duration);
  if (!duration || repeat) return { coded: repeat ? { timingTiming: { repeat } } : {}, words: [] };
  const words = `takes ${lastingText(duration.shortest.valueOf(), duration.longest?.valueOf())}`;
  notCoded.inWords(stepWords(step), `that it ${words}`);
  return { coded: {}, words: [words] };
}

/** The steps inside a step, and the definitions of what it gives. */
function innerOf(context: ActionContext, step: Step): Partial<Action> {
  if ("dose" in step) return definitionOfDose(context, step.dose);
  if (!holdsSteps(step)) return {};
  switch (step.kind) {
    case "stage":
      return groupOf([
        ...stepActions(context, step.steps),
        ...step.handlers.map((handler) => handlerAction(context, handler)),
      ]);
    case "repeat":
    case "do":
      return groupOf(stepActions(context, step.steps));
    case "ask":
      return {
        ...groupOf([answerAction(context, "Yes", step.yes), answerAction(context, "No", step.no)]),
        selectionBehavior: "exactly-one",
      };
    case "confirm":
      return step.otherwise ? groupOf([answerAction(context, "If not", step.otherwise)]) : {};
  }
}

function answerAction(context: ActionContext, words: string, steps: readonly Step[]): Action {
  const id = context.nextId();
  const inner = stepActions(context, steps);
  const title = inner.length > 0 ? words : `${words}: go on`;
  return { id, title, condition: [applicabilityOf("start", words)], ...groupOf(inner) };
}

/** The definition of a dose; one of several by band; or with what is mixed into it. */
function definitionOfDose({ doses, nextId }: ActionContext, name: string): Partial<Action> {
  const given = doses.find(({ dose }) => dose === name);
  const [first, ...others] = given?.variants ?? [];
  if (!given || !first) return {};
  if (others.length === 0 && given.mixedIn.length === 0) {
    return { definitionCanonical: canonicalOf(first.definition) };
  }
  const giving = (definition: ActivityDefinition, forWhom?: string): Action => ({
    id: nextId(),
    title: definition.title,
    ...(forWhom !== undefined && { condition: [applicabilityOf("applicability", forWhom)] }),
    definitionCanonical: canonicalOf(definition),
  });
  const bands = [first, ...others].map(({ forWhom, definition }) => giving(definition, forWhom));
  const mixed = given.mixedIn.map((definition) => giving(definition));
  if (mixed.length === 0) return { ...groupOf(bands), selectionBehavior: "exactly-one" };
  const local: Action[] =
    bands.length === 1
      ? bands
      : [{ id: nextId(), title: "By the patient", ...groupOf(bands), selectionBehavior: "exactly-one" }];
  return { ...groupOf([...local, ...mixed]), selectionBehavior: "all" };
}

/** The event that a step fires which leads to an emergency, and that triggers it. */
export function emergencyEvent(name: string): string {
  return stringOf(`emergency ${name}`);
}

export function applicabilityOf(kind: Applicability["kind"], words: string): Applicability {
  return { kind, expression: { description: stringOf(words), language: "text/fhirpath", expression: "{}" } };
}

export function groupOf(actions: readonly Action[]): Pick<Action, "groupingBehavior" | "action"> {
  return actions.length === 0 ? {} : { groupingBehavior: "logical-group", action: actions };
}

/** The actions that stand for moments which timers count from, by the moment's name. */
export type MomentActions = ReadonlyMap<string, readonly string[]>;

const FIRST_INFLATION = "first inflation";

/** Which action a timer counts from, and from which of its ends; undefined where it is not one action alone. */
function timerOrigin(
  { timers }: Protocol,
  timer: string,
  actions: MomentActions,
): Pick<RelatedAction, "actionId" | "relationship"> | undefined {
  const from = timers.find(({ name }) => name === timer)?.from;
  const [only, another] = (from && actions.get(momentName(from))) ?? [];
  if (!from || only === undefined || another !== undefined) return undefined;
  return { actionId: only, relationship: isStart(from) ? "after-start" : "after-end" };
}

/** The first inflation is the moment at which the cuff is up: the end of the step. */
function isStart({ kind }: Moment): boolean {
  return kind === "start";
}
