import { secondsText } from "@limbwright/shared/quantity";
import { all, DRUG_GIVEN, FLAT_TIME, leavesNoneUp, pickCuffs } from "../../runs/index.ts";
import type { Rule } from "../engine/definition.ts";
import { judgeOverRuns, whyUndecided } from "../engine/over-runs.ts";
import { emergencyReleases } from "../facts/emergency-release.ts";

export const rule: Rule<"runs"> = {
  needs: ["runs"],
  watch: ({ protocol, cuffs, parameter }) => {
    const isForEmergency = emergencyReleases(protocol);
    const clocks = [{ clock: FLAT_TIME, is: "under", seconds: parameter("interval") } as const];
    return (instant) => {
      if (instant.kind !== "start" || instant.step.kind !== "deflate") return [];
      if (isForEmergency(instant)) return [];
      const lets = leavesNoneUp(pickCuffs(instant.step.cuffs, cuffs), cuffs);
      return [{ when: all(DRUG_GIVEN, lets, { variable: "deflations", atLeast: 1 }), clocks }];
    };
  },
  judge: (context) => {
    // What follows on a cuff that was let down by mistake is no stage of a release.
    const limits = whyUndecided(context.runs, context.rule.id);
    if (limits.length > 0) return { found: [], undecided: limits };
    const least = secondsText(context.parameter("interval").value.valueOf());
    return judgeOverRuns(context, ({ origin }) => ({
      origin,
      what: `The cuff can be let down again less than ${least} after it was let down before.`,
      label: "the next stage comes too soon",
      next: "Write `watch 1 min` or longer between two stages: that is when the first signs show.",
    }));
  },
};
