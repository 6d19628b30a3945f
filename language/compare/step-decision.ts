import type { RunsCompared } from "./runs.ts";
import { type FoundChange, kindOf } from "./side.ts";
import type { StepChange } from "./steps.ts";

/**
 * What a change of the steps does, by the runs. Where every run stays as it was, it is a matter of wording. A time that
 * looks looser is so only where some run is gained.
 */
export function decidedByRuns({ of, found }: StepChange, difference: RunsCompared): FoundChange {
  if (of === "text") return found;
  if (difference.kind !== "compared") return found;
  const { gained, lost } = difference;
  if (gained.length + lost.length === 0) {
    // Runs say nothing of what no planned run comes to: an answer to a leak, an emergency that nothing enters.
    if (!isInRuns(found, difference)) return found;
    const { isOfFirstNumber: _notOfOrder, evidence: _none, ...rest } = found;
    return { ...rest, kind: "wording", what: `${found.what} Every run stays as it was.` };
  }
  if (of === "order") return found;
  const has = (side: "looser" | "tighter") =>
    (found.evidence ?? []).some((one) => one.kind === "value" && one.side === side);
  return { ...found, kind: kindOf(has("looser") && gained.length > 0, has("tighter") && lost.length > 0) };
}

function isInRuns(
  { before, now }: FoundChange,
  { isInSomeRun }: Extract<RunsCompared, { kind: "compared" }>,
): boolean {
  return (!before || isInSomeRun("before", before.origin)) && (!now || isInSomeRun("now", now.origin));
}
