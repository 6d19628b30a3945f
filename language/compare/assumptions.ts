import type { Protocol } from "../model/index.ts";
import { catalogue } from "../rules/catalogue.ts";
import { holding, type ProtocolJudgement } from "../rules/engine/judge.ts";
import { type RunsFor, runsFor } from "../rules/engine/runs-for.ts";
import { type Assumption, assumptionText } from "../runs/index.ts";
import { partedByKey } from "./parted.ts";
import type { FoundChange, SideJudged } from "./side.ts";

/**
 * What the proof of either version leans on, though nobody can make it so. Only asked where the runs differ: working it
 * out goes through the runs again and again. `renamed` is the earlier version in the names of the later one, where they are others.
 */
export function assumptionChanges(
  before: SideJudged,
  now: SideJudged,
  { renamed, isCancelled }: { readonly renamed?: Protocol; readonly isCancelled?: () => boolean },
): FoundChange[] {
  const earlier = renamed ? runsFor(renamed, catalogue, isCancelled) : before.judgement.explored;
  const { pairs, gone, added } = partedByKey(
    leantOn(earlier, before.judgement),
    leantOn(now.judgement.explored, now.judgement),
    ({ what, bound }) => `${what} ${bound}`,
  );
  return [
    ...pairs
      .filter(([old, recent]) => old.seconds !== recent.seconds)
      .map(([old, recent]) => change(old, recent)),
    ...gone.map((old) => change(old, undefined)),
    ...added.map((recent) => change(undefined, recent)),
  ];
}

function change(before: Assumption | undefined, now: Assumption | undefined): FoundChange {
  return {
    kind: "different",
    about: "assumptions",
    what: wordsFor(before, now),
    ...sideOf("before", before),
    ...sideOf("now", now),
  };
}

function wordsFor(before: Assumption | undefined, now: Assumption | undefined): string {
  if (!now) return `The proof no longer assumes that ${before ? assumptionText(before) : ""}.`;
  const was = before ? `before, that ${assumptionText(before)}` : "before, it did not";
  return `The proof assumes now that ${assumptionText(now)}; ${was}.`;
}

function sideOf(side: "before" | "now", assumption: Assumption | undefined) {
  const origin = assumption?.origin;
  return origin ? { [side]: { says: assumptionText(assumption), origin } } : {};
}

/** Each once, whichever rules lean on it. */
function leantOn(
  { assumptionsOf }: Pick<RunsFor, "assumptionsOf">,
  { verdicts }: ProtocolJudgement,
): Assumption[] {
  const all = [...assumptionsOf(holding(verdicts)).values()].flat();
  return [...new Map(all.map((assumption) => [assumptionText(assumption), assumption])).values()];
}
