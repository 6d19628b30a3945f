import type { Origin, Repair } from "@limbwright/shared/finding";
import type { Condition } from "@limbwright/shared/runtime";
import type { Protocol } from "../../model/index.ts";
import {
  all,
  DRUG_GIVEN,
  HOLD,
  HOLD_RUNS,
  IN_FORCE,
  type Instant,
  LET_GO_FOR_EMERGENCY,
  letsGoForEmergency,
  noneUp,
  not,
} from "../../runs/index.ts";
import type { Rule, RuleContext } from "../engine/definition.ts";
import type { Detected, Judgement } from "../engine/judgement.ts";
import { judgeOverRuns } from "../engine/over-runs.ts";
import { isSamePlace, lastBegun } from "../facts/shown-run.ts";
import { writeBeforeRounds } from "../facts/step-repairs.ts";

/** Two cycles before the last deflation: the three deflations of the trial. */
const DEFLATIONS = 3;

/** General teaching, from memory: after 40 min the cuff is let down once. */
const ONCE_IS_TAUGHT_AFTER = 40 * 60;

const SOON = "under 40 min on hold";
const STAGES = "Before it, write `repeat 2 times { … }` with `deflate all for 10 s` and `watch 1 min` in it.";
const AT_ANY_TIME = "at any time";

export const rule: Rule<"runs"> = {
  needs: ["runs"],
  watch: ({ protocol, cuffs }) => {
    const isPlanned = letsGoForEmergency(protocol) ? [not(LET_GO_FOR_EMERGENCY)] : [];
    const isUnstaged = not({ variable: "deflations", atLeast: DEFLATIONS });
    const released = all(DRUG_GIVEN, noneUp(cuffs), isUnstaged, ...isPlanned);
    return (instant) => {
      const begins = beginsRecovery(instant);
      if (!begins) return [];
      const clocks = [{ clock: HOLD, is: "under", seconds: ONCE_IS_TAUGHT_AFTER } as const];
      return [
        { about: SOON, when: all(released, HOLD_RUNS, begins), clocks },
        { about: AT_ANY_TIME, when: all(released, begins) },
      ];
    };
  },
  judge,
};

/** When an instant is the first after the release that belongs to it no more; undefined where it never is. */
function beginsRecovery(instant: Instant): Condition | undefined {
  if (instant.kind === "start" && instant.step.kind === "recovery") return all();
  return instant.kind === "finish" ? IN_FORCE : undefined;
}

function judge(context: RuleContext<"runs">): Judgement {
  const judgement = judgeOverRuns(context, ({ origin, about, run }) => {
    const deflation = lastBegun(run, "deflate");
    const count = run.variables.deflations ?? 0;
    const times = count === 1 ? "once" : `${count} times`;
    return {
      origin: deflation?.origin ?? origin,
      what: `The cuff can be let down ${times} before recovery; a staged release lets it down ${DEFLATIONS} times.`,
      label: `let down ${times}`,
      next:
        about === SOON
          ? STAGES
          : `${STAGES} From 40 min on no source asks for it: it buys time to see the first signs, no lower peak.`,
      repairs: deflation?.origin ? writeStagedRelease(context.protocol, deflation.origin) : [],
      severity: about === SOON ? "doubtful" : "advice",
    };
  });
  return { ...judgement, found: judgement.found.filter(isWorst) };
}

/** One finding for each place: the doubtful one goes before the advice. */
function isWorst(one: Detected, _: number, others: readonly Detected[]): boolean {
  return (
    one.severity === "doubtful" ||
    !others.some((other) => other.severity === "doubtful" && isSamePlace(other.origin, one.origin))
  );
}

function writeStagedRelease(protocol: Protocol, origin: Origin): Repair[] {
  const rounds = ["repeat 2 times {", "  deflate all for 10 s", "  watch 1 min", "}"];
  return writeBeforeRounds(protocol, origin, "Write a staged release before it", rounds);
}
