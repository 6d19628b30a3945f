import type { Rational } from "@limbwright/shared/quantity";
import { inBase } from "@limbwright/shared/quantity";
import type { Dose, Duration, Step, WrittenQuantity } from "../../model/index.ts";
import { originKey } from "./origin-key.ts";

/** How long a step lasts, in whole seconds; without a longest time, as long as it likes. */
export interface Lasting {
  readonly shortest: number;
  readonly longest?: number;
}

/** What the times of steps are taken from. All times in seconds. */
export interface Timing {
  readonly actionTime: number;
  readonly cuffActionTime: number;
  readonly doses: readonly Dose[];
  /** The bounds that are not relied on; see `Assumption`. */
  readonly dropped: ReadonlySet<string>;
}

export const ACTION_TIME = "action-time";
export const CUFF_ACTION_TIME = "cuff-action-time";

/** The name under which a written bound of a step's time can be dropped. */
export function boundName(bound: "shortest" | "longest", step: Step): string {
  return `${bound} ${originKey(step.origin)}`;
}

/** How long a step is in hand; undefined for steps that take no time of their own. */
export function lastingOf(step: Step, timing: Timing): Lasting | undefined {
  const written = step.takes && writtenLasting(step, step.takes, timing);
  switch (step.kind) {
    case "apply-cuffs":
    case "insert-cannula":
    case "remove-bandage":
    case "confirm-no-pulse":
      return written ?? action(timing);
    case "remove-cannula":
      return written ?? lasting(step.press) ?? action(timing);
    case "exsanguinate":
      return written ?? lasting(step.duration) ?? action(timing);
    case "inflate":
    case "confirm":
      return written ?? cuffAction(timing);
    case "deflate":
      return longerBy(secondsOf(step.flatFor), written ?? cuffAction(timing));
    case "inject":
    case "give":
      return written ?? givingTime(step, timing);
    case "wait":
    case "watch":
    case "recovery":
      return written ?? lasting(step.duration);
    case "task":
      return written ?? { shortest: 0 };
    default:
      return undefined;
  }
}

/** How long a stage lasts, where that is written. */
export function stageLasting(step: Step, timing: Timing): Lasting | undefined {
  return step.takes && writtenLasting(step, step.takes, timing);
}

export function seconds(value: Rational): number {
  return value.valueOf();
}

export function secondsOf(quantity: WrittenQuantity | undefined): number {
  return quantity ? seconds(inBase(quantity)) : 0;
}

function lasting(duration: Duration | undefined): Lasting | undefined {
  if (!duration) return undefined;
  const { shortest, longest } = duration;
  return { shortest: seconds(shortest), ...(longest && { longest: seconds(longest) }) };
}

function writtenLasting(step: Step, takes: Duration, { dropped }: Timing): Lasting {
  const { shortest = 0, longest } = lasting(takes) ?? {};
  const keepsLongest = longest !== undefined && !dropped.has(boundName("longest", step));
  return {
    shortest: dropped.has(boundName("shortest", step)) ? 0 : shortest,
    ...(keepsLongest && { longest }),
  };
}

function action({ actionTime, dropped }: Timing): Lasting {
  return { shortest: 0, ...(!dropped.has(ACTION_TIME) && { longest: actionTime }) };
}

function cuffAction({ cuffActionTime, dropped }: Timing): Lasting {
  return { shortest: 0, ...(!dropped.has(CUFF_ACTION_TIME) && { longest: cuffActionTime }) };
}

function longerBy(more: number, { shortest, longest }: Lasting): Lasting {
  return { shortest: shortest + more, ...(longest !== undefined && { longest: longest + more }) };
}

/** A dose lasts its `over`; a rate begins and runs on beside the steps; without either it is an action. */
function givingTime(step: Step & { readonly kind: "inject" | "give" }, timing: Timing): Lasting {
  const dose = timing.doses.find(({ name }) => name === step.dose);
  if (dose?.over) return lasting(dose.over) ?? action(timing);
  return dose?.rate ? { shortest: 0, longest: 0 } : action(timing);
}
