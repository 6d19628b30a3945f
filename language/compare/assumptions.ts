import { assumptionText } from "../outputs/findings/assumption-lines.ts";
import { catalogue } from "../rules/catalogue.ts";
import { holding, type ProtocolJudgement } from "../rules/judge.ts";
import { type RunsFor, runsFor } from "../rules/runs-for.ts";
import type { Assumption } from "../runs/index.ts";
import type { FoundChange, SideJudged, Sides } from "./side.ts";

/**
 * What the proof of either version leans on, though nobody can make it so. Only asked where the runs differ: working it
 * out goes through the runs again and again.
 */
export function assumptionChanges(
  before: SideJudged,
  now: SideJudged,
  { before: renamed }: Sides,
  isCancelled?: () => boolean,
): FoundChange[] {
  const earlier =
    renamed === before.protocol ? before.judgement.explored : runsFor(renamed, catalogue, isCancelled);
  const old = leantOn(earlier, before.judgement);
  const recent = leantOn(now.judgement.explored, now.judgement);
  const change = (text: string, assumption: Assumption, isNew: boolean): FoundChange => ({
    kind: "different",
    about: "assumptions",
    what: isNew
      ? `What is proven leans on it now that ${text}; before, it did not.`
      : `What is proven no longer leans on it that ${text}.`,
    ...(assumption.origin && { [isNew ? "now" : "before"]: { says: text, origin: assumption.origin } }),
  });
  return [
    ...[...recent].filter(([text]) => !old.has(text)).map(([text, one]) => change(text, one, true)),
    ...[...old].filter(([text]) => !recent.has(text)).map(([text, one]) => change(text, one, false)),
  ];
}

function leantOn(
  { assumptionsOf }: Pick<RunsFor, "assumptionsOf">,
  { verdicts }: ProtocolJudgement,
): Map<string, Assumption> {
  const all = [...assumptionsOf(holding(verdicts)).values()].flat();
  return new Map(all.map((assumption) => [assumptionText(assumption), assumption]));
}
