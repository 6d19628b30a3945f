import { compareOrigins } from "@limbwright/shared/finding";
import type { StuckRun } from "../../runs/index.ts";
import type { Rule, RuleContext } from "../engine/definition.ts";
import { type Detected, type Judgement, undecided } from "../engine/judgement.ts";
import { ifReplayed, runEvidence, whyUndecided } from "../engine/over-runs.ts";

export const rule: Rule<"runs"> = { needs: ["runs"], judge };

function judge({ rule, runs }: RuleContext<"runs">): Judgement {
  if (runs.kind === "not-explored") return { found: [], undecided: whyUndecided(runs, rule.id) };
  return ifReplayed(() => {
    const { stuck, limit } = runs.stuck;
    const found = stuck.filter(isFirstOfItsPlace).map(tellStuck);
    if (found.length > 0) return { found, undecided: [] };
    return limit === undefined ? { found, undecided: whyUndecided(runs, rule.id) } : undecided(limit);
  });
}

/** One finding for each place, with the run of the fewest decisions, which comes first. */
function isFirstOfItsPlace({ origin, how }: StuckRun, at: number, all: readonly StuckRun[]): boolean {
  const isSame = (other: StuckRun) => other.how === how && compareOrigins(other.origin, origin) === 0;
  return all.findIndex(isSame) === at;
}

function tellStuck({ origin, says, how, run }: StuckRun): Detected {
  const words =
    how === "waits"
      ? {
          what: `A run can come to \`${says}\` and never get on from there: nothing that the team does ends it.`,
          label: "no way on from here",
          next: "Say what ends it: a timer that is waited for needs `at least`, and a step must fit into the longest time of the stage around it.",
        }
      : {
          what: `A run can go round at \`${says}\` without ever coming to its end.`,
          label: "no way to the end from here",
          next: "Say how often it may happen, with `once` or `up to N times`, or how it ends.",
        };
  return { origin, ...words, run: runEvidence(run) };
}
