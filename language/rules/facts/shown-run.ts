import type { Origin, Related } from "@limbwright/shared/finding";
import { listText } from "@limbwright/shared/text";
import { allSteps, type Dose, type Protocol, type Step } from "../../model/index.ts";
import { cuffNames, cuffVariable, type Run, type RunStep, UP } from "../../runs/index.ts";
import { type Drug, givesDrug } from "./drugs.ts";
import type { DoseCounts } from "./most-given.ts";

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

/** "`local` once and `top-up` 2 times": the doses of some drugs in a run, their repeats counted. */
export function countsText(drugs: readonly Drug[], counts: DoseCounts, protocol: Protocol): string {
  const parts = dosesOf(drugs, protocol).flatMap(({ name, repeat }) => {
    const times = (counts.get(name) ?? 0) * (1 + (repeat?.times ?? 0));
    return times === 0 ? [] : [`\`${name}\` ${times === 1 ? "once" : `${times} times`}`];
  });
  return listText(parts);
}

/** Where a run gives some drugs: the words that give the last of it, and what comes before. */
export function givingsOf(
  drugs: readonly Drug[],
  steps: readonly Pick<RunStep, "dose" | "origin">[],
  protocol: Protocol,
): { readonly last?: Origin; readonly related: readonly Related[] } {
  const doses = new Map(dosesOf(drugs, protocol).map((dose) => [dose.name, dose]));
  const givings = steps.flatMap(({ dose: name, origin }) => {
    const dose = name === undefined ? undefined : doses.get(name);
    return dose && origin ? [{ dose, origin }] : [];
  });
  const last = givings.at(-1);
  if (!last) return { related: [] };
  const isAlone = givings.length === 1 && last.dose.repeat !== undefined;
  const before = isAlone ? givings : givings.slice(0, -1);
  return {
    last: isAlone ? (last.dose.repeat?.origin ?? last.origin) : last.origin,
    related: before.map(({ dose, origin }) => ({ origin, note: `gives \`${dose.name}\`` })),
  };
}

function dosesOf(drugs: readonly Drug[], protocol: Protocol): Dose[] {
  return protocol.doses.filter((dose) => drugs.some((drug) => givesDrug(drug, dose)));
}
