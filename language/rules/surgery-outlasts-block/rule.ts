import { originKey } from "@limbwright/shared/finding";
import { secondsText } from "@limbwright/shared/quantity";
import type { ClockCondition, Condition } from "@limbwright/shared/runtime";
import type { Protocol } from "../../model/index.ts";
import { ALWAYS, all, hasBeen, type Instant, not, type WatchedCheck } from "../../runs/index.ts";
import type { Rule, RuleContext } from "../engine/definition.ts";
import { combine, found, HOLDS, type Judgement, undecided, type Words } from "../engine/judgement.ts";
import { ifReplayed, whyUndecided } from "../engine/over-runs.ts";
import { timingOf } from "../engine/runs-for.ts";
import { clockOf, type Decision, type DecisionFlaw } from "./decisions.ts";
import { type EndOfWork, endsOfWork } from "./ends.ts";

export const rule: Rule<"runs"> = {
  needs: ["runs"],
  watch: ({ protocol, parameter }) => {
    const ends = endsOfWork(protocol, timingOf(protocol).actionTime);
    return (instant) => ends.flatMap((end) => checksOf(end, instant, protocol, parameter("notice")));
  },
  judge: (context) => ifReplayed(() => judge(context)),
};

/** Whether every decision on which an end rests, by other clocks than its own, can come too late: only the runs know. */
function checksOf(end: EndOfWork, instant: Instant, protocol: Protocol, notice: number): WatchedCheck[] {
  const decisions = restsOn(end, protocol, notice);
  if (decisions.length === 0) return [];
  const about = originKey(end.origin);
  if (end.kind === "longest") {
    if (instant.kind !== "start" || instant.step !== end.stage) return [];
    return tooLate(decisions, protocol, notice - end.at).map((late) => ({ about, ...late }));
  }
  const own = clockOf(end.handler, protocol);
  if (instant.kind !== "any" || own === undefined) return [];
  const isDue = { clock: own, is: "at-least", seconds: end.at } as const;
  const inForce = [instant.answered((one) => one === end.handler), hasBeen(own)];
  return tooLate(decisions, protocol, notice).map(({ when, clocks }) => ({
    about,
    when: all(...inForce, when),
    clocks: [isDue, ...clocks],
  }));
}

interface Late {
  readonly when: Condition;
  readonly clocks: readonly ClockCondition[];
}

/** Each way in which all of some decisions are late: the clock of one does not run, or shows too little. */
function tooLate(decisions: readonly Decision[], protocol: Protocol, notice: number): Late[] {
  return decisions.reduce<Late[]>(
    (late, { handler, madeAt }) => {
      const clock = clockOf(handler, protocol);
      if (clock === undefined) return late;
      const under = { clock, is: "under", seconds: madeAt + notice } as const;
      return late.flatMap(({ when, clocks }) => [
        { when: all(when, not(hasBeen(clock))), clocks },
        ...(under.seconds > 0 ? [{ when: all(when, hasBeen(clock)), clocks: [...clocks, under] }] : []),
      ]);
    },
    [{ when: ALWAYS, clocks: [] }],
  );
}

/** The sound decisions by other clocks; none where one by the clock of the end comes in good time. */
function restsOn(end: EndOfWork, protocol: Protocol, notice: number): Decision[] {
  const sound = end.decisions.filter(({ flaw }) => flaw === undefined);
  const inTime = sound.map((one) => inTimeByItself(end, one, protocol, notice));
  return inTime.includes(true) ? [] : sound.filter((_, at) => inTime[at] === undefined);
}

/** Whether a decision comes in good time, where its timer and the end count from the same moment; undefined where they do not. */
function inTimeByItself(
  end: EndOfWork,
  decision: Decision,
  protocol: Protocol,
  notice: number,
): boolean | undefined {
  const clock = clockOf(decision.handler, protocol);
  const own = end.kind === "cut" ? clockOf(end.handler, protocol) : `start of ${end.stage.name}`;
  return clock === own ? decision.madeAt + notice <= end.at : undefined;
}

function judge(context: RuleContext<"runs">): Judgement {
  const { protocol } = context;
  const ends = endsOfWork(protocol, timingOf(protocol).actionTime);
  const judged = combine(ends.map((end) => judgeEnd(end, context)));
  const once = [...new Map(judged.found.map((one) => [JSON.stringify(one.origin), one])).values()];
  if (once.length > 0) return { found: once, undecided: [] };
  if (judged.undecided.length > 0) return judged;
  return protocol.incomplete ? undecided("part of the steps was not understood") : HOLDS;
}

/** Whether some decision on another anaesthetic comes early enough, on every way, and is somebody's who may take it. */
function judgeEnd(
  end: EndOfWork,
  { protocol, parameter, runs, rule: stated }: RuleContext<"runs">,
): Judgement {
  const notice = parameter("notice").value.valueOf();
  const inTime = end.decisions.filter((one) => inTimeByItself(end, one, protocol, notice) !== false);
  const sound = inTime.filter(({ flaw }) => flaw === undefined);
  if (sound.length > 0 && restsOn(end, protocol, notice).length === 0) return HOLDS;
  if (sound.length > 0) {
    const limits = whyUndecided(runs, stated.id);
    if (limits.length > 0 || runs.kind !== "explored") return { found: [], undecided: limits };
    if (!runs.brokenBy(stated.id).some(({ about }) => about === originKey(end.origin))) return HOLDS;
    return found({ origin: end.origin, ...lateWords(end, notice) });
  }
  const [flaw] = inTime.flatMap((one) => one.flaw ?? []);
  return found({ origin: end.origin, ...(flaw ? flawWords(flaw, end) : lateWords(end, notice)) });
}

function ending(end: EndOfWork): string {
  return end.kind === "cut"
    ? `The work ends when ${end.handler.timer} reaches ${secondsText(end.at)}, finished or not`
    : `\`${end.stage.name}\` ends after ${secondsText(end.at)}, whether the work is finished or not`;
}

function lateWords(end: EndOfWork, notice: number): Words {
  const when =
    end.kind === "cut"
      ? `when ${end.handler.timer} reaches ${secondsText(Math.max(0, end.at - notice))}`
      : "when … reaches …";
  return {
    what: `${ending(end)}, and nothing asks ${secondsText(notice)} before that whether it will be done in time.`,
    label: "no decision in good time",
    next: `Write \`${when} { task anaesthetic-decision "…" by "…" }\` in the same stage: which anaesthetic takes over when the work takes longer, and who decides.`,
  };
}

function flawWords(flaw: DecisionFlaw, end: EndOfWork): Words {
  switch (flaw.kind) {
    case "nobodys":
      return {
        what: `${ending(end)}; who decides on another anaesthetic before that is not said.`,
        label: "nobody is named who decides",
        next: 'Write the role behind the decision, such as `by "anaesthetist"`.',
      };
    case "by-operator":
      return {
        what: `${ending(end)}; another anaesthetic is decided on by the person who operates: "${flaw.role}".`,
        label: "the operator decides",
        next: 'Let whoever gives the anaesthetic decide, such as `by "anaesthetist"`; the operator says how long the work will take.',
      };
    case "on-some-ways":
      return {
        what: `${ending(end)}; another anaesthetic is decided on in one branch only, and in the other nothing is.`,
        label: "decided in one branch only",
        next: "Write the decision before the question, or in both its branches.",
      };
  }
}
