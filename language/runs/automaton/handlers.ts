import {
  type Assignment,
  type ClockCondition,
  type Condition,
  isEmergency,
} from "@limbwright/shared/runtime";
import { allHandlers, allSteps, type Handler, type Protocol } from "../../model/index.ts";
import { secondsOf } from "./durations.ts";
import { hasNotBegun, isOfToxicitySigns } from "./emergencies.ts";
import { all, hasBeen, not, set, someGiven } from "./facts.ts";
import { answersLeak, isOfLeaks, LEAK_WAITS, NO_LEAK } from "./leak-facts.ts";
import { momentName } from "./moments.ts";
import { inOneOrder } from "./one-order.ts";
import {
  type Building,
  emptyScope,
  type HandlerInForce,
  isInHandler,
  locationBefore,
  type Place,
  type Scope,
} from "./place.ts";
import { eventData, handlerWords } from "./step-meaning.ts";

/** A handler with the variable that counts how often it ran, where that is limited. */
export interface HandlerCount {
  readonly handler: Handler;
  readonly variable: string;
  readonly most: number;
}

/** `when T reaches` runs once for each entry of its stage, an event as often as is written. */
export function handlerCounts({ draft, counter }: Building, handlers: readonly Handler[]): HandlerCount[] {
  return inOneOrder(handlers).flatMap((handler) => {
    const most = handler.kind === "reaches" ? 1 : handler.times;
    if (most === undefined) return [];
    return [{ handler, most, variable: draft.addVariable({ name: `times ${counter.next++}`, first: 0 }) }];
  });
}

/** What holds for all handlers of one stage, or of `throughout`. */
export interface Force {
  /** The clock from which `not before` counts. */
  readonly clock: string;
  /** When they are in force at all; always in their stage where undefined. */
  readonly when?: Condition;
}

/**
 * Lets handlers interrupt what their scope holds. The body of one runs with the interrupted location
 * remembered. Only a handler that does nothing but go to an emergency cuts in on the body of another.
 */
export function buildHandlers(
  building: Building,
  handlers: readonly Handler[],
  counts: readonly HandlerCount[],
  scope: Scope,
  place: Place,
  force: Force,
): void {
  for (const handler of inOneOrder(handlers)) {
    const count = counts.find((one) => one.handler === handler);
    buildHandler(building, { handler, scope, place, force, ...(count && { count }) });
  }
}

interface Interruption {
  readonly handler: Handler;
  readonly scope: Scope;
  readonly place: Place;
  readonly force: Force;
  readonly count?: HandlerCount;
}

function buildHandler(building: Building, interruption: Interruption): void {
  const { handler, scope, place } = interruption;
  building.inForce.push(inForceOf(building, interruption));
  if (isOfLeaks(handler) && !building.leaks) {
    noteHandler(building, handler, []);
    return;
  }
  if (isOnlyEmergency(handler)) {
    buildCutIn(building, interruption);
    return;
  }
  // Inside a body nothing but an emergency cuts in; whatever else happens is due when the body is over, and
  // then this stage is over too.
  if (isInHandler(place)) {
    noteHandler(building, handler, []);
    return;
  }
  const body = emptyScope();
  const isAfterSigns = place.isAfterSigns || isOfToxicitySigns(handler);
  const inBody: Place = {
    ...place,
    phase: bodyPhase(place),
    isAfterSigns,
    atMost: [],
    scopes: [body],
  };
  const back = locationBefore(building, "back to what was interrupted", inBody);
  building.afterwards.push(() => addReturn(building, back, handler, scope));
  const entry = building.steps(building, handler.steps, back, inBody);
  const { phase } = inBody;
  building.bodies.push({
    handler,
    says: handlerWords(handler),
    scope: body,
    interrupts: scope,
    phase,
    isAfterSigns,
  });
  const edges = addEdge(building, interruption, scopeOf(handler, scope), entry, { interrupts: true });
  // Emergencies that are plan join it as they are built.
  building.afterwards.push(() => {
    for (const edge of edges) building.draft.growEdge(edge, scopeOf(handler, scope));
  });
  noteHandler(building, handler, edges);
}

function inForceOf(building: Building, interruption: Interruption): HandlerInForce {
  const { handler, scope } = interruption;
  const conditions = conditionsOf(building, interruption);
  return { handler, scope, ...(conditions.length > 0 && { when: all(...conditions) }) };
}

/** When a handler is in force where its scope is. */
function conditionsOf(building: Building, { handler, force, count }: Interruption): Condition[] {
  const conditions = [force.when, isFree(count), hasNotBegun(building, handler)];
  return conditions.filter((one) => one !== undefined);
}

/** Whether a handler may run once more. */
function isFree(count: HandlerCount | undefined): Condition | undefined {
  return count && not({ variable: count.variable, atLeast: count.most });
}

/** Back to what was interrupted; a stage with a longest time takes note that its time went on meanwhile. */
function addReturn({ draft, touched }: Building, back: number, handler: Handler, scope: Scope): void {
  const interrupted = new Set([...scope.during, ...scope.before]);
  const marks = touched.flatMap(({ variable, scope: stage }) => {
    const inside = [...stage.during, ...stage.before].filter((location) => interrupted.has(location));
    return inside.length > 0 ? [set(variable, 1, { interrupted: inside })] : [];
  });
  draft.addEdge({
    kind: "return",
    says: "go on",
    from: [back],
    to: "interrupted",
    ...(marks.length > 0 && { set: marks }),
    origin: handler.origin,
  });
}

function bodyPhase({ phase }: Place): "handler" | "emergency-handler" {
  return isEmergency(phase) ? "emergency-handler" : "handler";
}

/** It is built last, when all bodies on which it may cut in are known. */
function buildCutIn(building: Building, interruption: Interruption): void {
  const { handler, scope, place } = interruption;
  const entryFor = (isAfterSigns: boolean) => {
    // Whoever goes to an emergency is as good as in it.
    const inBody: Place = { ...place, phase: "emergency", isAfterSigns, atMost: [], scopes: [] };
    return building.steps(building, handler.steps, building.end, inBody);
  };
  const isOfSigns = place.isAfterSigns || isOfToxicitySigns(handler);
  const entry = entryFor(isOfSigns);
  // What cuts in on the answer to toxicity signs comes after them, too.
  const entryAfterSigns = isOfSigns || !isSlowToAnswerSigns(building) ? entry : entryFor(true);
  building.afterwards.push(() => {
    const own = addEdge(building, interruption, scopeOf(handler, scope), entry, { forgets: true });
    const locations = new Set([...scope.during, ...scope.before]);
    const isWithin = (other: Scope) => [...other.during, ...other.before].some((one) => locations.has(one));
    const others = [false, true].flatMap((isAfterSigns) => {
      const cutting = building.bodies.filter(
        (body) => body.isAfterSigns === isAfterSigns && isWithin(body.interrupts),
      );
      const from = cutting.flatMap((body) => scopeOf(handler, body.scope));
      const manner = { forgets: true, when: { interrupted: [...locations] } } as const;
      return addEdge(building, interruption, from, isAfterSigns ? entryAfterSigns : entry, manner);
    });
    noteHandler(building, handler, [...own, ...others]);
  });
}

/** Whether some answer to toxicity signs does more than go to an emergency, so that others may cut in on it. */
function isSlowToAnswerSigns({ protocol }: Building): boolean {
  return allHandlers(protocol).some((handler) => isOfToxicitySigns(handler) && !isOnlyEmergency(handler));
}

/** An event strikes while something is being done; what is due also between two steps. */
function scopeOf(handler: Handler, { during, before }: Scope): number[] {
  return isDue(handler) ? [...during, ...before] : [...during];
}

interface Manner {
  readonly interrupts?: true;
  readonly forgets?: true;
  readonly when?: Condition;
}

/** None where it can start from nowhere. */
function addEdge(
  building: Building,
  interruption: Interruption,
  from: readonly number[],
  to: number,
  { when, ...manner }: Manner,
): number[] {
  const { handler, force, count } = interruption;
  const trigger = triggerOf(building, handler, force);
  if (from.length === 0 || !trigger) return [];
  const more = [when, trigger.when].filter((one) => one !== undefined);
  const conditions = [...conditionsOf(building, interruption), ...more];
  const raised = count ? [{ variable: count.variable, plus: 1 }] : [];
  const edge = building.draft.addEdge({
    kind: handler.kind,
    says: handlerWords(handler),
    ...(handler.kind === "event"
      ? { event: eventData(handler) }
      : { reaches: { timer: handler.timer, seconds: secondsOf(handler.limit) } }),
    from,
    to,
    ...(conditions.length > 0 && { when: all(...conditions) }),
    ...(trigger.guard.length > 0 && { guard: trigger.guard }),
    set: [...raised, ...trigger.set],
    ...manner,
    ...(isDue(handler) ? { due: true as const } : { inTime: true as const, decision: true as const }),
    origin: handler.origin,
  });
  return [edge];
}

interface Trigger {
  readonly when?: Condition;
  readonly guard: readonly ClockCondition[];
  readonly set: readonly Assignment[];
}

/** What makes a handler run: nothing but chance, a timer that has reached its time, or a leak. */
function triggerOf({ protocol, setting }: Building, handler: Handler, { clock }: Force): Trigger | undefined {
  if (handler.kind === "reaches") {
    const from = protocol.timers.find(({ name }) => name === handler.timer)?.from;
    if (!from) return undefined;
    const counting = momentName(from);
    return {
      when: hasBeen(counting),
      guard: [{ clock: counting, is: "at-least", seconds: secondsOf(handler.limit) }],
      set: [],
    };
  }
  const { notBefore } = handler;
  const guard: ClockCondition[] = notBefore ? [{ clock, is: "at-least", seconds: secondsOf(notBefore) }] : [];
  if (isOfToxicitySigns(handler)) {
    const doses = dosesIntoTissues(protocol);
    return { guard, set: doses.length > 0 ? [set("toxicity seen", 1, someGiven(doses))] : [] };
  }
  if (!isOfLeaks(handler)) return { guard, set: [] };
  return { when: answersLeak(handler, setting.cuffs), guard, set: [set(LEAK_WAITS, NO_LEAK)] };
}

/** The doses that go behind the cuff or into the tissues; before one of them was begun, signs are no signs of toxicity. */
function dosesIntoTissues(protocol: Protocol): string[] {
  const names = [...allSteps(protocol)].flatMap((step) => {
    const isOne = step.kind === "inject" || (step.kind === "give" && step.as !== undefined);
    return isOne ? [step.dose] : [];
  });
  return [...new Set(names)].sort();
}

/** A leak is answered as soon as it is there, like a timer that has reached its time. */
function isDue(handler: Handler): boolean {
  return handler.kind === "reaches" || isOfLeaks(handler);
}

/** Whether the whole body is `go to emergency`. */
function isOnlyEmergency({ steps }: Handler): boolean {
  return steps.length === 1 && steps[0]?.kind === "go-to-emergency";
}

function noteHandler({ draft }: Building, handler: Handler, edges: readonly number[]): void {
  draft.addElement({ kind: "handler", says: handlerWords(handler), origin: handler.origin, edges });
}
