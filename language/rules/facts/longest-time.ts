import { durationText, inBase, rational } from "@limbwright/shared/quantity";
import { type HoldingSteps, holdsSteps, type Protocol, type Step } from "../../model/index.ts";
import { longestInHand, type Timing } from "../../runs/index.ts";

/**
 * The longest that whoever follows these steps is busy with them, in seconds, without what may interrupt them; infinite where
 * a step has no longest time. What comes after a step that leaves them is not counted.
 */
export function longestTime(steps: readonly Step[], protocol: Protocol, timing: Timing): number {
  let seconds = 0;
  for (const step of steps) {
    seconds += timeOf(step, protocol, timing);
    if (step.kind === "finish" || step.kind === "end-stage" || step.kind === "go-to-emergency") break;
  }
  return seconds;
}

function timeOf(step: Step, protocol: Protocol, timing: Timing): number {
  if (step.kind === "wait-for") return longestWait(step.timer, protocol);
  return holdsSteps(step) ? timeInside(step, protocol, timing) : longestInHand(step, timing);
}

function longestWait(timer: string, { timers }: Protocol): number {
  const atLeast = timers.find(({ name }) => name === timer)?.atLeast;
  return atLeast ? inBase(atLeast).valueOf() : Number.POSITIVE_INFINITY;
}

/** The longest time that a step is written to take, in seconds, without the steps that it holds; nothing where that is not written. */
export function writtenTime(step: Step, protocol: Protocol): number {
  if (step.kind === "wait-for") return longestWait(step.timer, protocol);
  if (step.kind === "task" && !step.takes) return 0;
  if (holdsSteps(step) && step.kind !== "confirm") return 0;
  return longestInHand(step, { ...NOTHING_UNWRITTEN, doses: protocol.doses });
}

const NOTHING_UNWRITTEN: Omit<Timing, "doses"> = {
  actionTime: 0,
  cuffActionTime: 0,
  cuffTestTime: 0,
  cuffTestPause: 0,
  dropped: new Set(),
};

function timeInside(step: HoldingSteps, protocol: Protocol, timing: Timing): number {
  const of = (steps: readonly Step[]) => longestTime(steps, protocol, timing);
  switch (step.kind) {
    case "do":
      return of(step.steps);
    case "repeat":
      return step.times === 0 ? 0 : step.times * of(step.steps);
    case "ask":
      return Math.max(of(step.yes), of(step.no));
    case "confirm":
      return longestInHand(step, timing) + of(step.otherwise ?? []);
    case "stage":
      return Math.max(of(step.steps), step.takes?.shortest.valueOf() ?? 0);
  }
}

/** "4 min"; "any time" of what has no longest time. */
export function timeText(seconds: number): string {
  return Number.isFinite(seconds) ? durationText(rational(seconds)) : "any time";
}
