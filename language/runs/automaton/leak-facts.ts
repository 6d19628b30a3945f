import type { Condition } from "@limbwright/shared/runtime";
import { type Handler, stepsWithin } from "../../model/index.ts";
import { all, any, is } from "./facts.ts";

/** Whether a leak waits for its handler. */
export const LEAK_WAITS = "leak waits";
/** Which cuff leaked, counted from 1; 0 where all did. */
export const LEAKING_CUFF = "leaking cuff";

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
  const waits = is(LEAK_WAITS, 1);
  const named = handler.kind === "event" ? handler.cuff : undefined;
  if (named === undefined) return waits;
  return all(waits, any(is(LEAKING_CUFF, 0), is(LEAKING_CUFF, cuffs.indexOf(named) + 1)));
}
