import type { Origin, Related } from "@limbwright/shared/finding";
import { listText } from "@limbwright/shared/text";
import type { Dose, Protocol } from "../../model/index.ts";
import type { RunStep } from "../../runs/index.ts";
import type { DoseCounts } from "./dose-counts.ts";
import { type Drug, givesDrug } from "./drugs.ts";

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
