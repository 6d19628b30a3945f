import { compareOrigins } from "@limbwright/shared/finding";
import { clockText, inBase, secondsText } from "@limbwright/shared/quantity";
import { allSteps, type Protocol, type Timer, type WrittenQuantity } from "../../model/index.ts";
import {
  all,
  type BrokenCheck,
  DRUG_IN_LIMB,
  hasBeen,
  type Instant,
  momentName,
  not,
  type Run,
  type Runs,
  type RunsWithLeak,
  someUp,
  type WatchedCheck,
  wholeEnvelope,
} from "../../runs/index.ts";
import type { Rule, RuleContext } from "../engine/definition.ts";
import { type Detected, type Judgement, undecided, type Words } from "../engine/judgement.ts";
import { judgeOverRuns } from "../engine/over-runs.ts";
import { emergencyReleases } from "../facts/emergency-release.ts";
import { canOverrunAtLeak, judgeAlsoAfterLeak, timeAtLeak } from "../facts/leaving-at-leak.ts";
import { letsLastCuffDown } from "../facts/planned-release.ts";
import { repairByEndingStage } from "../facts/stage-repairs.ts";
import { repairByWaiting } from "../facts/step-repairs.ts";

export const rule: Rule<"runs"> = {
  needs: ["runs"],
  watch: ({ protocol, cuffs }) => {
    const claims = claimsOf(protocol);
    const isForEmergency = emergencyReleases(protocol);
    const takesTime = timeAtLeak(protocol) > 0;
    return (instant) =>
      // What is claimed of the plan says nothing of a release to save limb or life.
      (isForEmergency(instant) ? [] : claims).flatMap((claim) =>
        checksOf(claim, instant, cuffs).map((check) => ({
          ...check,
          about: claim.about,
          origin: claim.bound.origin,
          // A leak makes nothing earlier.
          ...(claim.kind === "at most" && takesTime && { inLeaks: "also" as const }),
        })),
      );
  },
  judge,
};

/** One bound of one timer. A timer that starts at the release claims nothing about how early that is. */
interface Claim {
  readonly about: string;
  readonly kind: "at least" | "at most";
  readonly timer: Timer;
  /** The clock that counts from the timer's moment. */
  readonly clock: string;
  readonly bound: WrittenQuantity;
}

function claimsOf({ timers }: Protocol): Claim[] {
  return timers.flatMap((timer): Claim[] => {
    const { name, from, atLeast, atMost } = timer;
    if (!from) return [];
    const claim = (kind: Claim["kind"], bound: WrittenQuantity | undefined): Claim[] =>
      bound ? [{ about: `${name} ${kind}`, kind, timer, clock: momentName(from), bound }] : [];
    return [...claim("at least", from.kind === "release" ? undefined : atLeast), ...claim("at most", atMost)];
  });
}

function checksOf({ kind, clock, bound }: Claim, instant: Instant, cuffs: readonly string[]): WatchedCheck[] {
  const runs = hasBeen(clock);
  const seconds = inBase(bound).valueOf();
  const isAtMost = kind === "at most";
  if (instant.kind === "finish") return isAtMost ? [{ when: all(someUp(cuffs), runs) }] : [];
  const last = letsLastCuffDown(instant, cuffs);
  if (!last) return [];
  if (isAtMost) return [{ when: all(last, runs), clocks: [{ clock, is: "over", seconds }] }];
  return [
    { when: all(last, DRUG_IN_LIMB, not(runs)) },
    { when: all(last, DRUG_IN_LIMB, runs), clocks: [{ clock, is: "under", seconds }] },
  ];
}

/** A release before the minimum breaks the timer's claim too: it is told once, by the rule it is unsafe for. */
function judge(context: RuleContext<"runs">): Judgement {
  const judgement = judgeClaims(context);
  const { runs } = context;
  if (runs.kind === "not-explored") return judgement;
  const told = [...runs.brokenBy("early-release"), ...runs.brokenBy("no-cuff-up")];
  const ruleThatTold = ({ related: [last] = [] }: Detected) =>
    told.find(({ origin }) => last && compareOrigins(origin, last.origin) === 0)?.rule;
  const found = judgement.found.filter((one) => !ruleThatTold(one));
  const [first] = judgement.found.filter(ruleThatTold);
  if (found.length > 0 || !first) return { ...judgement, found };
  return undecided(
    `\`${ruleThatTold(first)}\` found a release that comes before this claim is true; mend that first`,
    first.origin,
  );
}

function judgeClaims(context: RuleContext<"runs">): Judgement {
  const { rule, protocol, runs: planned } = context;
  const claims = claimsOf(protocol);
  const words = (broken: BrokenCheck, runs: RunsWithLeak) => {
    const claim = claims.find(({ about }) => about === broken.about);
    if (!claim) throw new Error(`no timer claims ${broken.about}`);
    const { origin } = claim.bound;
    const last = broken.run.steps.at(-1);
    return {
      origin,
      ...wordsOf(claim, broken.run, timeOf(claim, broken.run, runs)),
      ...(last?.origin && {
        related: [{ origin: last.origin, note: `here, \`${last.says}\`` }],
        repairs:
          claim.kind === "at least"
            ? repairByWaiting(protocol, last.origin, claim.timer)
            : repairByEndingStage(protocol, last.origin),
      }),
    };
  };
  const isAsked = claims.some((claim) => canLeakBreak(claim, protocol, planned));
  return judgeAlsoAfterLeak(
    context,
    (runs) => judgeOverRuns({ rule, runs }, (broken) => words(broken, runs)),
    { isAsked },
  );
}

/** Whether the answer to a leak can take so long that a claim is no longer true that is true as planned. */
function canLeakBreak({ kind, timer: { from }, bound }: Claim, protocol: Protocol, runs: Runs): boolean {
  if (kind === "at least") return false;
  const { release, occlusion } = wholeEnvelope(runs) ?? {};
  const injected = [...allSteps(protocol)].flatMap((step) => (step.kind === "inject" ? [step.dose] : []));
  const isFromInjection = from?.kind === "end" && injected.every((dose) => dose === from.target);
  const latest = isFromInjection ? release?.latest : occlusion?.longest;
  return canOverrunAtLeak(protocol, latest, inBase(bound).valueOf());
}

/** What the timer shows at the end of a run, in seconds; undefined where it does not run. */
function timeOf({ clock }: Claim, { clocks, variables }: Run, runs: RunsWithLeak): number | undefined {
  if (runs.kind === "not-explored" || variables[`${clock} has been`] !== 1) return undefined;
  return clocks[runs.traced.clockFor(clock)];
}

function wordsOf({ kind, timer, bound }: Claim, run: Run, time: number | undefined): Words {
  const limit = secondsText(inBase(bound).valueOf());
  const said = `\`${timer.name}\` is to be ${kind} ${limit}`;
  if (kind === "at least") {
    const comes = time === undefined ? "does not run" : `is at ${clockText(time)}`;
    return {
      what: `${said} at the release, and the release can come when it ${comes}.`,
      label: `the release can come when it ${comes}`,
      next: `Write \`wait for ${timer.name}\` before the release, or claim less in the timer.`,
    };
  }
  if (run.steps.at(-1)?.kind === "finish") {
    return {
      what: `${said}, and the protocol can end with a cuff still up.`,
      label: "a cuff can stay up",
      next: "Let the cuffs down before the end.",
    };
  }
  return {
    what: `${said}, and the last cuff can still be up then.`,
    label: "the last cuff can come down later",
    next: `End the stage before it in time, such as by \`when ${timer.name} reaches\` a time under ${limit}, or give its tasks a longest time.`,
  };
}
