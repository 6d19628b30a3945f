import type { Moment, Protocol } from "../../model/index.ts";
import { momentName } from "../../runs/index.ts";
import type { RelatedAction } from "./resources.ts";

/** The actions that stand for moments which timers count from, by the moment's name. */
export type MomentActions = ReadonlyMap<string, readonly string[]>;

/** Takes note of which action stands for which moment while the actions are made. */
export class MomentNotes {
  readonly #actions = new Map<string, string[]>();

  /** A dose is given, or a stage gone through, from the start of an action to its end. */
  noteSpan(target: string, action: string): void {
    this.#note(`start of ${target}`, action);
    this.#note(`end of ${target}`, action);
  }

  noteInflation(action: string): void {
    if (!this.#actions.has(FIRST_INFLATION)) this.#note(FIRST_INFLATION, action);
  }

  all(): MomentActions {
    return this.#actions;
  }

  #note(moment: string, action: string): void {
    this.#actions.set(moment, [...(this.#actions.get(moment) ?? []), action]);
  }
}

const FIRST_INFLATION = "first inflation";

/** Which action a timer counts from, and from which of its ends; undefined where it is not one action alone. */
export function timerOrigin(
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
