import { inBase, secondsText } from "@limbwright/shared/quantity";
import { allSteps, type Protocol, type Step } from "../../model/index.ts";
import { all, DRUG_GIVEN, FLAT_TIME, leavesNoneUp, pickCuffs } from "../../runs/index.ts";
import type { Rule } from "../engine/definition.ts";
import { type Detected, found } from "../engine/judgement.ts";
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
    const shortest = context.parameter("shortest-stage").value.valueOf();
    const written = [...stagesTooShort(context.protocol, shortest), ...stagesUnwatched(context.protocol)];
    if (written.length > 0) return found(...written);
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

/** A cuff that is hardly down lets nothing go: it is no stage, and the next one is the whole release. */
function stagesTooShort(protocol: Protocol, shortest: number): Detected[] {
  return stagesOf(protocol).flatMap(({ origin, flatFor }) => {
    const flat = flatFor ? inBase(flatFor).valueOf() : shortest;
    if (flat >= shortest) return [];
    return [
      {
        origin,
        what: `The cuff is down for ${secondsText(flat)}; what is down for less than ${secondsText(shortest)} is no stage of a release.`,
        label: "too short for a stage",
        next: "Write `deflate all for 10 s`, as in the published recipe.",
      },
    ];
  });
}

type Deflation = Extract<Step, { readonly kind: "deflate" }>;

/** Deflations after which the cuff comes up again, each once. */
function stagesOf(protocol: Protocol): Deflation[] {
  const stages = [...allSteps(protocol)].filter(isStage);
  return [...new Map(stages.map((step) => [step.origin.start.offset, step])).values()];
}

function isStage(step: Step): step is Deflation {
  return step.kind === "deflate" && step.flatFor !== undefined;
}

/** Waits between two stages: to wait says that nobody watches. */
function stagesUnwatched(protocol: Protocol): Detected[] {
  const lists = [...allSteps(protocol)].flatMap((step) => ("steps" in step ? [step.steps] : []));
  const waits = [protocol.steps ?? [], ...lists].flatMap(waitsBetween);
  return [...new Map(waits.map((step) => [step.origin.start.offset, step])).values()].map(({ origin }) => ({
    origin,
    what: "Between two stages of the release the team waits, and nobody is said to watch for signs.",
    label: "nobody watches",
    next: "Write `watch` instead of `wait`: the pause is there for somebody to look for signs.",
  }));
}

/** The waits behind a stage, up to the next step that is none, where nobody watches in between. */
function waitsBetween(steps: readonly Step[]): Step[] {
  return steps.flatMap((step, at) => {
    if (!isStage(step)) return [];
    const rest = steps.slice(at + 1);
    const next = rest.findIndex(({ kind }) => kind === "deflate" || kind === "recovery");
    const between = next < 0 ? rest : rest.slice(0, next);
    return between.some(({ kind }) => kind === "watch") ? [] : between.filter(({ kind }) => kind === "wait");
  });
}
