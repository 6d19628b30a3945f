import type { RunStepShown, RunToStepThrough } from "@limbwright/shared/editor";

/** Where one is in a run that is stepped through. */
export interface Stepping {
  readonly run: RunToStepThrough;
  /** From 0. */
  readonly at: number;
}

/** At the first step; undefined where the run has none. */
export function beginStepping(run: RunToStepThrough): Stepping | undefined {
  return run.steps.length > 0 ? { run, at: 0 } : undefined;
}

/** Some steps forward, or back; never past either end. */
export function moveBy({ run, at }: Stepping, by: number): Stepping {
  return { run, at: Math.min(Math.max(at + by, 0), run.steps.length - 1) };
}

/** The same after a change of the text. */
export function markOld({ run, at }: Stepping): Stepping {
  return { run: { ...run, isStale: true }, at };
}

export function stepAt({ run, at }: Stepping): RunStepShown | undefined {
  return run.steps[at];
}

/** "3 of 14, at 2:30: inject local; then drug in the limb", and at the last step what the run shows. */
export function stepWords(stepping: Stepping): string {
  const { run } = stepping;
  const step = stepAt(stepping);
  if (!step) return "";
  const after = step.after === "" ? "" : `; then ${step.after}`;
  const shown = isLast(stepping) ? `. ${run.what}` : "";
  return `${countWords(stepping)}, at ${step.time}: ${step.what}${after}${shown}`;
}

/** The same to stand beside the line of the step, without what that line says itself. */
export function wordsBeside(stepping: Stepping, line: string): string {
  const { run } = stepping;
  const step = stepAt(stepping);
  if (!step) return "";
  const what = line.includes(step.what) ? "" : step.what;
  const then = step.after === "" ? "" : `then ${step.after}`;
  const told = isLast(stepping) ? [run.what] : [what, then];
  return [countWords(stepping), step.time, ...told.filter((words) => words !== "")].join(" · ");
}

function countWords({ run, at }: Stepping): string {
  const stale = run.isStale ? " (from before the last change)" : "";
  return `${at + 1} of ${run.steps.length}${stale}`;
}

function isLast({ run, at }: Stepping): boolean {
  return at === run.steps.length - 1;
}

/** What is so by then, for the tooltip of a step. */
export function standingWords(stepping: Stepping): string {
  const standing = stepAt(stepping)?.standing ?? "";
  return standing === "" ? "Nothing is otherwise than at the beginning." : `By now: ${standing}.`;
}
