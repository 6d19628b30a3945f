import type { Condition } from "@limbwright/shared/runtime";
import type { Handler } from "../../model/index.ts";
import { all, any, is } from "./facts.ts";

/** Whether a leak waits for its handler. */
export const LEAK_WAITS = "leak waits";
/** Which cuff leaked, counted from 1; 0 where all did. */
export const LEAKING_CUFF = "leaking cuff";

export function isOfLeaks(handler: Handler): boolean {
  return handler.kind === "event" && handler.event === "cuff-leak";
}

/** Whether a leak waits that this handler answers: of its cuff, or of any where it names none. */
export function answersLeak(handler: Handler, cuffs: readonly string[]): Condition {
  const waits = is(LEAK_WAITS, 1);
  const named = handler.kind === "event" ? handler.cuff : undefined;
  if (named === undefined) return waits;
  return all(waits, any(is(LEAKING_CUFF, 0), is(LEAKING_CUFF, cuffs.indexOf(named) + 1)));
}
