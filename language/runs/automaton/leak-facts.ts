import type { Condition } from "@limbwright/shared/runtime";
import { type Handler, stepsWithin } from "../../model/index.ts";
import { any, is, not } from "./facts.ts";

/** The leak that waits for its handler: none, of all cuffs, or of one, the first of them at 2. */
export const LEAK_WAITS = "leak waits";
export const NO_LEAK = 0;
export const LEAK_OF_ALL = 1;

export function isOfLeaks(handler: Handler): boolean {
  return handler.kind === "event" && handler.event === "cuff-leak";
}

/** Whether a handler answers a leak of some cuffs so that a cuff is up and confirmed again, or an emergency begins. */
export function isAnswerToLeak(handler: Handler, leaking: readonly string[]): boolean {
  if (handler.kind !== "event" || !isOfLeaks(handler)) return false;
  if (handler.cuff !== undefined && !leaking.includes(handler.cuff)) return false;
  const kinds = new Set([...stepsWithin(handler.steps)].map(({ kind }) => kind));
  return kinds.has("go-to-emergency") || (kinds.has("inflate") && kinds.has("confirm"));
}

/** Whether a leak waits that this handler answers: of its cuff, or of any where it names none. */
export function answersLeak(handler: Handler, cuffs: readonly string[]): Condition {
  const named = handler.kind === "event" ? handler.cuff : undefined;
  if (named === undefined) return not(is(LEAK_WAITS, NO_LEAK));
  return any(is(LEAK_WAITS, LEAK_OF_ALL), is(LEAK_WAITS, cuffs.indexOf(named) + 2));
}
