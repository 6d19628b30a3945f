import { originKey } from "@limbwright/shared/finding";
import type { Rational } from "@limbwright/shared/quantity";
import { inBase } from "@limbwright/shared/quantity";
import type { ClockCondition, Limit } from "@limbwright/shared/runtime";
import type { Dose, Duration, Step, WrittenQuantity } from "../../model/index.ts";

/** How long a step lasts, in whole seconds; without a longest time, as long as it likes. */
export interface Lasting {
  readonly shortest: number;
  readonly longest?: number;
  /** The bounds that may be dropped, by their names; see `Assumption`. */
  readonly droppable?: { readonly shortest?: string; readonly longest?: string };
  /** How much of the shortest time stays when its bound is dropped; nothing without it. */
  readonly surely?: number;
}

/** A limit of an automaton that is made to be asked without some bounds: it goes with the bound of that name. */
export interface DroppableLimit extends Limit {
  readonly bound?: string;
}

/** What the times of steps are taken from. All times in seconds. */
export interface Timing {
  readonly actionTime: number;
  readonly cuffActionTime: number;
  /** Under how long a test of the cuffs takes, and how long they are flat before another. */
  readonly cuffTestTime: number;
  readonly cuffTestPause: number;
  readonly doses: readonly Dose[];
  /** The bounds that are not relied on; see `Assumption`. */
  readonly dropped: ReadonlySet<string>;
  /** Whether the limits of steps say which bound they go with, so that each can still be dropped; for a proof alone. */
  readonly isMarked?: true;
}

export const ACTION_TIME = "action-time";
export const CUFF_ACTION_TIME = "cuff-action-time";

/** The name under which a written bound of a step's time can be dropped. */
export function boundName(bound: "shortest" | "longest", step: Pick<Step, "origin">): string {
  return `${bound} ${originKey(step.origin)}`;
}

export function seconds(value: Rational): number {
  return value.valueOf();
}

export function secondsOf(quantity: WrittenQuantity | undefined): number {
  return quantity ? seconds(inBase(quantity)) : 0;
}

export function lastingOfDuration({ shortest, longest }: Duration): Lasting {
  return { shortest: seconds(shortest), ...(longest && { longest: seconds(longest) }) };
}

/** The longest stay of a step whose clock that is. */
export function longestStay(clock: string, lasting: Lasting, { isMarked }: Timing): DroppableLimit[] {
  const { longest, droppable } = lasting;
  return longest === undefined
    ? []
    : [{ clock, seconds: longest, ...(isMarked && nameBound(droppable?.longest)) }];
}

/** When a step may be over at the earliest. */
export function shortestStay(
  clock: string,
  lasting: Lasting,
  { isMarked }: Timing,
): (ClockCondition & DroppableLimit)[] {
  const { shortest, droppable, surely = 0 } = lasting;
  const from = (seconds: number, bound?: string) =>
    seconds > 0 ? [{ clock, is: "at-least", seconds, ...nameBound(bound) } as const] : [];
  const isDroppable = isMarked && droppable?.shortest !== undefined;
  return isDroppable ? [...from(shortest, droppable.shortest), ...from(surely)] : from(shortest);
}

function nameBound(bound: string | undefined) {
  return bound === undefined ? {} : { bound };
}

/** How long a step `takes`, where that is written. */
export function lastingAsWritten({ origin, takes }: Step, { dropped }: Timing): Lasting | undefined {
  if (!takes) return undefined;
  const { shortest, longest } = lastingOfDuration(takes);
  const names = { shortest: boundName("shortest", { origin }), longest: boundName("longest", { origin }) };
  const keepsLongest = longest !== undefined && !dropped.has(names.longest);
  return {
    shortest: dropped.has(names.shortest) ? 0 : shortest,
    ...(keepsLongest && { longest }),
    droppable: names,
  };
}

/** What an action takes; as any time of a step, it is what the step `takes` where that is written. */
export function action(step: Step, timing: Timing): Lasting {
  const { actionTime, dropped } = timing;
  return lastingAsWritten(step, timing) ?? actionOf(ACTION_TIME, actionTime, dropped);
}

export function cuffAction(step: Step, timing: Timing): Lasting {
  const { cuffActionTime, dropped } = timing;
  return lastingAsWritten(step, timing) ?? actionOf(CUFF_ACTION_TIME, cuffActionTime, dropped);
}

export function durationOrAction(step: Step, duration: Duration | undefined, timing: Timing): Lasting {
  const own = duration && lastingOfDuration(duration);
  return lastingAsWritten(step, timing) ?? own ?? action(step, timing);
}

/** A dose lasts its `over`; a rate begins and runs on beside the steps; without either it is an action. */
export function givingTime(step: Step & { readonly dose: string }, timing: Timing): Lasting {
  const dose = timing.doses.find(({ name }) => name === step.dose);
  if (dose?.over) return durationOrAction(step, dose.over, timing);
  const runsOn = dose?.rate && { shortest: 0, longest: 0 };
  return lastingAsWritten(step, timing) ?? runsOn ?? action(step, timing);
}

function actionOf(name: string, longest: number, dropped: ReadonlySet<string>): Lasting {
  return { shortest: 0, ...(!dropped.has(name) && { longest }), droppable: { longest: name } };
}

export function longerBy(more: number, lasting: Lasting): Lasting {
  const { shortest, longest } = lasting;
  return {
    ...lasting,
    shortest: shortest + more,
    surely: more,
    ...(longest !== undefined && { longest: longest + more }),
  };
}
