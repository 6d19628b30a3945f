import { inBase } from "@limbwright/shared/quantity";
import {
  type Dose,
  type DoseRepeat,
  type Emergency,
  type Handler,
  holdsSteps,
  type Step,
} from "../model/index.ts";

/** More are refused: each repeat with a condition is one question inside the other. */
export const MOST_REPEATS = 10;

/** The steps of a protocol, wherever they stand. */
export interface RunSteps {
  readonly steps?: readonly Step[];
  readonly throughout: readonly Handler[];
  readonly emergencies: readonly Emergency[];
}

/**
 * A dose that goes behind the cuff or into the tissues is given by its steps alone, so each of its repeats is written out as a step:
 * wait, ask where it hangs on a condition, give again. Everything that judges, prints or compares steps then sees every injection
 * as one; the dose itself repeats nothing any more.
 */
export function writeOutRepeats<R extends RunSteps>(
  run: R,
  doses: readonly Dose[],
  givenByStep: ReadonlySet<string>,
): R {
  const repeats = new Map(
    doses.flatMap(({ name, repeat }) => (repeat && givenByStep.has(name) ? [[name, repeat] as const] : [])),
  );
  if (repeats.size === 0) return run;
  return {
    ...run,
    ...(run.steps && { steps: inSteps(run.steps, repeats) }),
    throughout: run.throughout.map((handler) => inHandler(handler, repeats)),
    emergencies: run.emergencies.map((one) => ({ ...one, steps: inSteps(one.steps, repeats) })),
  };
}

/** The doses without the repeats that are written out. */
export function withoutWrittenOut(doses: readonly Dose[], givenByStep: ReadonlySet<string>): Dose[] {
  return doses.map((dose) => {
    if (!dose.repeat || !givenByStep.has(dose.name)) return dose;
    const { repeat: _writtenOut, ...rest } = dose;
    return rest;
  });
}

type Repeats = ReadonlyMap<string, DoseRepeat>;

function inSteps(steps: readonly Step[], repeats: Repeats): Step[] {
  return steps.flatMap((step) => {
    const repeat = "dose" in step ? repeats.get(step.dose) : undefined;
    return repeat
      ? [step, ...again(step, repeat, Math.min(repeat.times, MOST_REPEATS))]
      : [inside(step, repeats)];
  });
}

function inHandler(handler: Handler, repeats: Repeats): Handler {
  return { ...handler, steps: inSteps(handler.steps, repeats) };
}

/** A step with what stands in it; kinds that hold none are as they were. */
function inside(step: Step, repeats: Repeats): Step {
  if (!holdsSteps(step)) return step;
  switch (step.kind) {
    case "stage":
      return {
        ...step,
        steps: inSteps(step.steps, repeats),
        handlers: step.handlers.map((handler) => inHandler(handler, repeats)),
      };
    case "repeat":
    case "do":
      return { ...step, steps: inSteps(step.steps, repeats) };
    case "ask":
      return { ...step, yes: inSteps(step.yes, repeats), no: inSteps(step.no, repeats) };
    case "confirm":
      return step.otherwise ? { ...step, otherwise: inSteps(step.otherwise, repeats) } : step;
  }
}

/** `times` more: after the interval, and only where the condition holds; where it does not, no further one follows either. */
function again(step: Step, repeat: DoseRepeat, times: number): Step[] {
  if (times === 0) return [];
  const { interval, condition } = repeat;
  const bare = { origin: step.origin, notes: [], roles: [] };
  const seconds = inBase(interval);
  const wait: Step = {
    ...{ ...bare, kind: "wait" },
    duration: { shortest: seconds, longest: seconds, origin: repeat.origin },
  };
  if (!condition) return [{ ...bare, kind: "repeat", times, steps: [wait, step] }];
  const yes = [step, ...again(step, repeat, times - 1)];
  return [wait, { ...bare, kind: "ask", question: condition.value, yes, no: [] }];
}
