import type { Handler, Protocol, Step } from "../model/index.ts";

/**
 * How often steps give or inject a dose at most, whatever happens and is answered: every handler as often
 * as it may run, of two answers the one that gives more. A dose's own `repeat` is not counted.
 */
export function mostTimesGiven(steps: readonly Step[], dose: string): number {
  return steps.reduce((sum, step) => sum + timesIn(step, dose), 0);
}

/** The same over a whole protocol without its emergencies. */
export function mostTimesInRun({ steps, throughout }: Protocol, dose: string): number {
  return mostTimesGiven(steps ?? [], dose) + timesInHandlers(throughout, dose);
}

function timesIn(step: Step, dose: string): number {
  switch (step.kind) {
    case "give":
    case "inject":
      return step.dose === dose ? 1 : 0;
    case "repeat":
      return step.times * mostTimesGiven(step.steps, dose);
    case "do":
      return mostTimesGiven(step.steps, dose);
    case "ask":
      return Math.max(mostTimesGiven(step.yes, dose), mostTimesGiven(step.no, dose));
    case "confirm":
      return mostTimesGiven(step.otherwise ?? [], dose);
    case "stage":
      return mostTimesGiven(step.steps, dose) + timesInHandlers(step.handlers, dose);
    default:
      return 0;
  }
}

/** An event without a count may come without limit, but the reading refuses one that gives a dose. */
function timesInHandlers(handlers: readonly Handler[], dose: string): number {
  return handlers.reduce((sum, handler) => {
    const times = handler.kind === "event" ? (handler.times ?? 1) : 1;
    return sum + times * mostTimesGiven(handler.steps, dose);
  }, 0);
}
