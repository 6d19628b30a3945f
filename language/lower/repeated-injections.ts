import { inBase } from "@limbwright/shared/quantity";
import {
  changeInner,
  changeSteps,
  type Dose,
  type DoseRepeat,
  type Protocol,
  type Step,
} from "../model/index.ts";

/** More are refused: each repeat with a condition is one question inside the other. */
export const MOST_REPEATS = 10;

/**
 * A dose that goes behind the cuff or into the tissues is given by its steps alone, so each of its repeats is written out as a step:
 * wait, ask where it hangs on a condition, give again. Everything that judges, prints or compares steps then sees every injection
 * as one; the dose itself repeats nothing any more.
 */
export function writeOutRepeats<R extends Pick<Protocol, "steps" | "throughout" | "emergencies">>(
  run: R,
  doses: readonly Dose[],
  givenByStep: ReadonlySet<string>,
): R {
  const repeats = new Map(
    doses.flatMap(({ name, repeat }) => (repeat && givenByStep.has(name) ? [[name, repeat] as const] : [])),
  );
  if (repeats.size === 0) return run;
  const writeOut = (steps: readonly Step[]): Step[] =>
    steps.flatMap((step) => {
      const repeat = "dose" in step ? repeats.get(step.dose) : undefined;
      return repeat
        ? [step, ...again(step, repeat, Math.min(repeat.times, MOST_REPEATS))]
        : [changeInner(step, writeOut)];
    });
  return changeSteps(run, writeOut);
}

/** The doses without the repeats that are written out. */
export function withoutWrittenOut(doses: readonly Dose[], givenByStep: ReadonlySet<string>): Dose[] {
  return doses.map((dose) => {
    if (!dose.repeat || !givenByStep.has(dose.name)) return dose;
    const { repeat: _writtenOut, ...rest } = dose;
    return rest;
  });
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
