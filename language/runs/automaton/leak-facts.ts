import type { Assignment, Condition, Variable } from "@limbwright/shared/runtime";
import {
  allHandlers,
  allSteps,
  type Handler,
  type Protocol,
  type Step,
  stepsReached,
  stepsWithin,
} from "../../model/index.ts";
import { any, DRUG_GIVEN, is, not, set } from "./facts.ts";

/** The leak that waits for its handler: none, of all cuffs, or of one, the first of them at 2. */
export const LEAK_WAITS = "leak waits";
export const NO_LEAK = 0;
export const LEAK_OF_ALL = 1;

/** Whether the leak left no cuff up: then it was a release, and an emergency to which its answer leads is the treatment of one. */
export const LEAK_RELEASED = "leak left no cuff up";

/** Whether a cuff has leaked with the drug given, and nobody has decided since that more of it is injected. */
export const LEAK_UNDECIDED = is("leak undecided", 1);

/** Whether a leak has struck while a handler had interrupted an injection: nobody goes back to that. */
export const INJECTION_STOPPED = is("injection stopped", 1);

/** The variables of runs with a leak. */
export function leakVariables(): Variable[] {
  const yesNo = (name: string): Variable => ({ name, values: ["no", "yes"], first: 0 });
  return [
    { name: LEAK_WAITS, first: NO_LEAK },
    ...[LEAK_RELEASED, LEAK_UNDECIDED.variable, INJECTION_STOPPED.variable].map(yesNo),
  ];
}

/** After a leak with the drug given, more of it is injected by decision alone. */
export function asksForDecision(): Assignment {
  return set(LEAK_UNDECIDED.variable, 1, DRUG_GIVEN);
}

/** Whether some injection may come after another one was begun; where there is one alone, a leak ends it for good. */
export function mayInjectAgain(protocol: Protocol): boolean {
  const handled = allHandlers(protocol).flatMap(({ steps }) => [...stepsWithin(steps)]);
  const repeated = [...allSteps(protocol)].flatMap((step) =>
    step.kind === "repeat" ? [...stepsWithin(step.steps)] : [],
  );
  const injections = [...allSteps(protocol)].filter(({ kind }) => kind === "inject");
  return injections.length > 1 || [...handled, ...repeated].some(({ kind }) => kind === "inject");
}

export function decides(): Assignment {
  return set(LEAK_UNDECIDED.variable, 0);
}

/**
 * Whether a step decides on what goes on after a leak: a task that says so, or a question of which one answer injects or leaves and
 * the other does not. A question with two answers that lead to the same decides nothing.
 */
export function isDecision(step: Step): boolean {
  if (step.kind === "task") return step.topic === "cuff-decision" || step.topic === "anaesthetic-decision";
  if (step.kind !== "ask") return false;
  const [yes, no] = [step.yes, step.no].map(
    (steps) => new Set([...stepsReached(steps)].map(({ kind }) => kind)),
  );
  return GOING_ON.some((kind) => yes?.has(kind) !== no?.has(kind));
}

const GOING_ON: readonly Step["kind"][] = ["inject", "finish", "end-stage", "go-to-emergency"];

export function isOfLeaks(handler: Handler): boolean {
  return handler.kind === "event" && handler.event === "cuff-leak";
}

/** Whether a handler is about a leak of a cuff. */
export function isAboutLeakOf(cuff: string, handler: Handler): boolean {
  return handler.kind === "event" && isOfLeaks(handler) && (handler.cuff ?? cuff) === cuff;
}

/** Whether some handler is for leaks of this cuff alone. */
export function namesLeakOf(cuff: string, protocol: Protocol): boolean {
  return allHandlers(protocol).some(
    (handler) => handler.kind === "event" && isOfLeaks(handler) && handler.cuff === cuff,
  );
}

/** Whether a leak waits that this handler answers: of its cuff, or of any where it names none. */
export function answersLeak(handler: Handler, cuffs: readonly string[]): Condition {
  const named = handler.kind === "event" ? handler.cuff : undefined;
  if (named === undefined) return not(is(LEAK_WAITS, NO_LEAK));
  return any(is(LEAK_WAITS, LEAK_OF_ALL), is(LEAK_WAITS, cuffs.indexOf(named) + 2));
}
