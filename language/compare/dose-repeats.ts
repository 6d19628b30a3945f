import type { Dose, DoseRepeat } from "../model/index.ts";
import { aboutDose, asForRescue, isRescue } from "./dose-directions.ts";
import { limitChange } from "./limits.ts";
import { bothSides, type FoundChange, kindOf } from "./side.ts";
import { textChange } from "./texts.ts";

/** How often a dose is given again, after what time, and when. */
export function repeatChanges(before: Dose, now: Dose): FoundChange[] {
  const [old, recent] = [before.repeat, now.repeat];
  const name = `The time between two givings of \`${now.name}\``;
  return [
    ...timesChange(before, now),
    ...(old && recent
      ? limitChange({ about: aboutDose(now), name, tighter: "higher" }, old.interval, recent.interval).map(
          (found) => asForRescue(now, found),
        )
      : []),
    ...textChange(`condition for repeating \`${now.name}\``, old?.condition, recent?.condition),
  ];
}

function timesChange(before: Dose, now: Dose): FoundChange[] {
  const [old, recent] = [before.repeat, now.repeat];
  const more = (recent?.times ?? 0) - (old?.times ?? 0);
  if (more === 0) return [];
  const isLooser = more > 0;
  const kept = isLooser
    ? `Giving it ${timesText(recent)} is allowed now and was not before.`
    : `Giving it ${timesText(old)} was allowed before and is not now.`;
  return [
    {
      kind: isRescue(now) ? "different" : kindOf(isLooser, !isLooser),
      about: aboutDose(now),
      what: `\`${now.name}\` is given ${timesText(recent)} now; before, ${timesText(old)}.`,
      ...bothSides(old, recent, timesText),
      ...(isRescue(now) && { isOfFirstNumber: true }),
      evidence: [{ kind: "value", side: isLooser ? "looser" : "tighter", says: kept }],
    },
  ];
}

function timesText(repeat: DoseRepeat | undefined): string {
  if (!repeat) return "once";
  return repeat.times === 1 ? "once more after the first" : `${repeat.times} times more after the first`;
}
