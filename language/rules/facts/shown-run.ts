import type { Run, RunStep } from "../../runs/index.ts";

/** The last step of a kind that a run began. */
export function lastBegun({ steps }: Run, wanted: NonNullable<RunStep["step"]>["kind"]): RunStep | undefined {
  return steps.findLast(({ kind, step }) => kind === "start" && step?.kind === wanted);
}

/** The name of the dose that a run injected last. */
export function lastInjected(run: Run): string | undefined {
  return lastBegun(run, "inject")?.dose;
}
