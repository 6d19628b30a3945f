import type { Condition } from "@limbwright/shared/runtime";
import type { Handler } from "../../model/index.ts";
import { any, is, not } from "./facts.ts";

/** The leak that waits for its handler: none, of all cuffs, or of one, the first of them at 2. */
export const LEAK_WAITS = "leak waits";
export const NO_LEAK = 0;
export const LEAK_OF_ALL = 1;

/** Whether the leak left no cuff up: then it was a release, and an emergency to which its answer leads is the treatment of one. */
export const LEAK_RELEASED = "leak left no cuff up";

export function isOfLeaks(handler: Handler): boolean {
  return handler.kind === "event" && handler.event === "cuff-leak";
}

/** Whether a handler is about a leak of a cuff. */
export function isAboutLeakOf(cuff: string, handler: Handler): boolean {
  return handler.kind === "event" && isOfLeaks(handler) && (handler.cuff ?? cuff) === cuff;
}

/** Whether a leak waits that this handler answers: of its cuff, or of any where it names none. */
export function answersLeak(handler: Handler, cuffs: readonly string[]): Condition {
  const named = handler.kind === "event" ? handler.cuff : undefined;
  if (named === undefined) return not(is(LEAK_WAITS, NO_LEAK));
  return any(is(LEAK_WAITS, LEAK_OF_ALL), is(LEAK_WAITS, cuffs.indexOf(named) + 2));
}
