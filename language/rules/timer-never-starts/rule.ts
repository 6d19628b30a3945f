import type { Moment, Protocol, Timer } from "../../model/index.ts";
import { hasBeen, momentName, not } from "../../runs/index.ts";
import type { Rule, RuleContext } from "../engine/definition.ts";
import type { Judgement } from "../engine/judgement.ts";
import { endingUnlessLeaked, judgeOverRuns } from "../engine/over-runs.ts";

export const rule: Rule<"runs"> = {
  needs: ["runs"],
  watch:
    ({ protocol }) =>
    (instant) => {
      if (instant.kind !== "start" || instant.step.kind !== "wait-for") return [];
      const about = instant.step.timer;
      const from = timerOf(protocol, about)?.from;
      return from ? endingUnlessLeaked({ about, when: not(hasBeen(momentName(from))) }) : [];
    },
  judge,
};

function judge(context: RuleContext<"runs">): Judgement {
  return judgeOverRuns(context, ({ origin, about = "" }) => {
    const from = timerOf(context.protocol, about)?.from;
    const moment = from ? momentName(from) : "its moment";
    return {
      origin,
      what: `\`${about}\` counts from \`${moment}\`, and this wait can come before that.`,
      label: `\`${about}\` may not run here`,
      next: `Write the wait after ${from ? stepFor(from) : "that"} on every way that leads here, or let \`${about}\` count from an earlier moment.`,
    };
  });
}

function timerOf({ timers }: Protocol, name: string): Timer | undefined {
  return timers.find((timer) => timer.name === name);
}

/** The step that brings a moment about. */
function stepFor(moment: Moment): string {
  switch (moment.kind) {
    case "first-inflation":
      return "the first `inflate`";
    case "release":
      return "the release";
    case "start":
    case "end":
      return moment.targetKind === "dose"
        ? `the step that gives \`${moment.target}\``
        : `the stage \`${moment.target}\``;
  }
}
