import type { Origin } from "@limbwright/shared/finding";
import { allSteps, type Protocol, type Step } from "../../model/index.ts";
import { cuffNames, cuffVariable, type Run, type RunStep, UP } from "../../runs/index.ts";

/** The last step of a kind that a run began. */
export function lastBegun({ steps }: Run, wanted: NonNullable<RunStep["step"]>["kind"]): RunStep | undefined {
  return steps.findLast(({ kind, step }) => kind === "start" && step?.kind === wanted);
}

/** The name of the dose that a run injected last. */
export function lastInjected(run: Run): string | undefined {
  return lastBegun(run, "inject")?.dose;
}

/** The step that is written at a place of the text, where a rule over runs found something. */
export function stepAt(protocol: Protocol, origin: Origin): Step | undefined {
  for (const step of allSteps(protocol)) {
    if (isSamePlace(step.origin, origin)) return step;
  }
  return undefined;
}

/** Whether two places begin at the same character. */
export function isSamePlace(a: Origin, b: Origin): boolean {
  return a.file === b.file && a.start.offset === b.start.offset;
}

/** The cuffs that are up where a shown run ends, proximal first. */
export function cuffsUpAfter({ variables }: Run, protocol: Protocol): string[] {
  return cuffNames(protocol).filter((cuff) => (variables[cuffVariable(cuff)] ?? 0) >= UP);
}

/** "`proximal`", "`proximal` and `distal`". */
export function cuffsText(cuffs: readonly string[]): string {
  return cuffs.map((cuff) => `\`${cuff}\``).join(" and ");
}

/** "`proximal` is up", "`proximal` and `distal` are up". */
export function areUpText(cuffs: readonly string[]): string {
  return `${cuffsText(cuffs)} ${areText(cuffs)} up`;
}

/** "`distal` is flat". */
export function areFlatText(cuffs: readonly string[]): string {
  return `${cuffsText(cuffs)} ${areText(cuffs)} flat`;
}

/** "is" or "are", by how many there are. */
export function areText(cuffs: readonly string[]): string {
  return cuffs.length === 1 ? "is" : "are";
}
