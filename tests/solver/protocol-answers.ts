import type { Handler, Step } from "../../language/model/index.ts";
import { isOnlyEmergency, type Stage, type State, secondsOf } from "./protocol-state.ts";
import { openStages, type Todos } from "./protocol-todos.ts";
import { flattened, type World } from "./protocol-world.ts";

/** A handler that may run, with the stage that it stands in. */
export interface InForce {
  readonly handler: Handler;
  readonly stage?: Stage;
}

/** The handlers in force that may still run; in a handler, those that only go to an emergency. */
export function inForce(of: World, todos: Todos, state: State): InForce[] {
  if (state.phase === "emergency") return [];
  const interrupted = state.interrupted ? { ...state, ...state.interrupted } : state;
  const ofStages = openStages(interrupted).flatMap((stage) =>
    stage.handlers.map((handler) => ({ handler, stage })),
  );
  const throughout =
    state.facts["in force"] === 1 ? of.protocol.throughout.map((handler) => ({ handler })) : [];
  return [...ofStages, ...throughout].filter(({ handler }) => {
    if (state.phase === "handler" && !isOnlyEmergency(handler)) return false;
    const mayBeginAgain = isOfSigns(handler) || isOfLeak(handler);
    if (!mayBeginAgain && leadsTo(handler.steps).some((name) => state.facts[`begun ${name}`] === 1)) {
      return false;
    }
    const most = handler.kind === "reaches" ? 1 : handler.times;
    return most === undefined || (state.facts[`ran ${todos.objectId(handler)}`] ?? 0) < most;
  });
}

/** A leak is answered at once, by a handler of any cuff or of that one. */
export function answersToLeak(of: World, todos: Todos, state: State): InForce[] {
  const leaking = of.cuffs[(state.facts["leak waits"] ?? 0) - 1];
  if (leaking === undefined) return [];
  return inForce(of, todos, state).filter(
    ({ handler }) => isOfLeak(handler) && (handler.kind !== "event" || (handler.cuff ?? leaking) === leaking),
  );
}

export function hasReached(of: World, { since }: State, handler: Handler): boolean {
  if (handler.kind !== "reaches") return false;
  const time = since[of.momentOfTimer(handler.timer)];
  return time !== undefined && time >= secondsOf(handler.limit);
}

/** After a leak that left no cuff up, what treats signs of toxicity is treatment. */
export function isTreatment(of: World, name: string): boolean {
  const { throughout, steps = [], emergencies } = of.protocol;
  const lists = [
    steps,
    ...throughout.map((handler) => handler.steps),
    ...emergencies.map((one) => one.steps),
  ];
  const stages = lists.flatMap((list) => [...flattened(list)]);
  const inStages = stages.flatMap((step) => (step.kind === "stage" ? step.handlers : []));
  return [...throughout, ...inStages].some(
    (handler) => isOfSigns(handler) && leadsTo(handler.steps).includes(name),
  );
}

/** An emergency that toxicity signs lead to is no longer judged; any other is plan. */
export function isOfSigns(handler: Handler): boolean {
  return handler.kind === "event" && handler.event === "toxicity-signs";
}

export function isOfLeak(handler: Handler): boolean {
  return handler.kind === "event" && handler.event === "cuff-leak";
}

/** The emergencies that steps may lead to. */
function leadsTo(steps: readonly Step[]): string[] {
  return [...flattened(steps)].flatMap((step) => (step.kind === "go-to-emergency" ? [step.emergency] : []));
}
