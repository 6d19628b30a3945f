import type { Repair } from "@limbwright/shared/finding";
import { clockText, secondsText } from "@limbwright/shared/quantity";
import {
  type Condition,
  HANDLER_STEP_CLOCK,
  isEmergency,
  isHandling,
  STEP_CLOCK,
} from "@limbwright/shared/runtime";
import type { Protocol, Step } from "../../model/index.ts";
import { lineAfter, needsALook, writeInstead } from "../../model/text-changes.ts";
import {
  all,
  cuffNames,
  cuffVariable,
  DRUG_GIVEN,
  FLAT,
  FLAT_TIME,
  IN_FORCE,
  type Instant,
  LEAKED,
  LET_GO_AFTER_SIGNS,
  letsGoForEmergency,
  noneUp,
  RELEASED_DRUG,
  type Run,
  type RunsWithLeak,
  someUp,
  type WatchedCheck,
} from "../../runs/index.ts";
import type { Rule, RuleContext } from "../engine/definition.ts";
import { combine, found, type Judgement, type Words } from "../engine/judgement.ts";
import { judgeOverRuns } from "../engine/over-runs.ts";
import { isPrilocaine } from "../facts/drugs.ts";
import { canLeaveAtLeak, inLeaksWhere, judgeAlsoAfterLeak } from "../facts/leaving-at-leak.ts";
import { lastBegun, stepAt } from "../facts/shown-run.ts";
import { movedDuring } from "./moved.ts";

export const rule: Rule<"runs"> = {
  needs: ["runs"],
  watchesEmergencies: true,
  watch: ({ protocol, cuffs, parameter }) => {
    const isFlat = all(DRUG_GIVEN, IN_FORCE, noneUp(cuffs));
    const minimum = parameter("minimum");
    const isAskedAfterSigns = letsGoForEmergency(protocol);
    const isAskedInLeaks = canLeaveAtLeak(protocol);
    return (instant) => {
      if (instant.kind === "any") return [];
      if (!isEmergency(instant.phase)) {
        const checks = [...tooShortAt(instant, isFlat, minimum), ...unwatchedAt(instant, isFlat, cuffs)];
        return inLeaksWhere(isAskedInLeaks, checks);
      }
      // What is watched after toxicity signs is part of their treatment, but for a release to save limb or life.
      if (!isAskedAfterSigns) return [];
      const letGo = all(isFlat, LET_GO_AFTER_SIGNS);
      if (instant.kind === "finish") return [{ when: letGo }];
      return inLeaksWhere(isAskedInLeaks, tooShortAt(instant, letGo, minimum));
    };
  },
  judge,
};

/** A recovery that ends before its time. */
function tooShortAt(instant: Instant, isFlat: Condition, minimum: number): WatchedCheck[] {
  if (instant.kind !== "end" || instant.step.kind !== "recovery") return [];
  const clock = isHandling(instant.phase) ? HANDLER_STEP_CLOCK : STEP_CLOCK;
  return [{ when: isFlat, clocks: [{ clock, is: "under", seconds: minimum }] }];
}

/** The end of the plan, with nobody watching since the release, or without one. */
function unwatchedAt(instant: Instant, isFlat: Condition, cuffs: readonly string[]): WatchedCheck[] {
  if (instant.kind !== "finish") return [];
  return [
    { when: all(isFlat, { variable: "deflations", atLeast: 1 }) },
    { when: all(DRUG_GIVEN, someUp(cuffs)) },
    // A leak that left no cuff up was a release, whatever was inflated since.
    { when: all(LEAKED, RELEASED_DRUG, IN_FORCE), inLeaks: "alone" },
  ];
}

function judge(context: RuleContext<"runs">): Judgement {
  return combine([
    judgeAlsoAfterLeak(context, (runs) => judgeRuns(context, runs)),
    found(...movedDuring(context.protocol)),
  ]);
}

function judgeRuns({ rule, parameter, protocol }: RuleContext<"runs">, runs: RunsWithLeak): Judgement {
  const least = secondsText(parameter("minimum").value.valueOf());
  const later = protocol.doses.some(({ agent }) => isPrilocaine(agent)) ? LATER : "";
  return judgeOverRuns({ rule, runs }, ({ origin, run }) => {
    const isOver = run.steps.at(-1)?.kind === "end";
    const { what, label, next } = isOver
      ? tooShort(run, least)
      : isAnyUp(run, protocol)
        ? notReleased(least)
        : notWatched(run, least);
    const place = isOver ? undefined : (lastBegun(run, "recovery") ?? lastBegun(run, "deflate"));
    const short = isOver ? stepAt(protocol, origin) : protocol.steps?.at(-1);
    const repairs = isAnyUp(run, protocol) ? [] : watchLonger(short, least);
    return { origin: place?.origin ?? origin, what, label, next: `${next}${later}`, repairs };
  });
}

function isAnyUp({ variables }: Run, protocol: Protocol): boolean {
  return cuffNames(protocol).some((cuff) => variables[cuffVariable(cuff)] !== FLAT);
}

function tooShort({ steps }: Run, least: string): Words {
  const [begun, over] = [steps.findLast(isRecoveryBegun)?.at ?? 0, steps.at(-1)?.at ?? 0];
  return {
    what: `Recovery can be over ${clockText(over - begun)} after it has begun; ${least} without a break is the least.`,
    label: `over before ${least}`,
    next: `Write \`recovery ${least}\`, or another time of at least ${least}, as one step after the last deflation. What is done meanwhile in the room is a note on it; other steps come after it.`,
  };
}

function isRecoveryBegun({ kind, step }: Run["steps"][number]): boolean {
  return kind === "start" && step?.kind === "recovery";
}

function notWatched({ clocks }: Run, least: string): Words {
  return {
    what: `The protocol can end ${clockText(clocks[FLAT_TIME] ?? 0)} after the last cuff was let down, with no recovery since; ${least} is the least.`,
    label: `no recovery of ${least}`,
    next: `Write \`recovery ${least}\` as the last step, or another time of at least ${least}.`,
  };
}

function notReleased(least: string): Words {
  return {
    what: "The protocol can end with a cuff up, so nobody watches the patient after the release.",
    label: "no release is watched after this",
    next: `Let the cuffs down before the end, and write \`recovery ${least}\` after that.`,
  };
}

const LATER =
  " Say also what the patient is told at discharge: methaemoglobin from prilocaine rises for hours.";

/** The recovery, or the last step, made longer, or one more written behind it; none behind a block, where the text may go on. */
function watchLonger(last: Step | undefined, least: string): Repair[] {
  const words = `recovery ${least}`;
  if (last?.kind === "recovery") return last.notes.length === 0 ? writeInstead(last.origin, words) : [];
  const isOneLine = last?.kind === "do" || last?.kind === "watch" || last?.kind === "deflate";
  return isOneLine ? needsALook(`Write ${words} as the last step`, lineAfter(last.origin, words)) : [];
}
