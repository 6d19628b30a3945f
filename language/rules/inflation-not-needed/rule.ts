import { originKey } from "@limbwright/shared/finding";
import { type HoldingSteps, holdsSteps, type Protocol, type Step } from "../../model/index.ts";
import { all, any, DRUG_GIVEN, isUp, LEAKED, not, pickCuffs, someUp, stepWords } from "../../runs/index.ts";
import type { Rule } from "../engine/definition.ts";
import { judgeOverRuns } from "../engine/over-runs.ts";
import { areUpText, cuffsUpAfter, stepAt } from "../facts/shown-run.ts";

export const rule: Rule<"runs"> = {
  needs: ["runs"],
  watch: ({ protocol, cuffs }) => {
    const asked = new Set(unasked(protocol).map(({ origin }) => originKey(origin)));
    return (instant) => {
      if (instant.kind !== "start" || instant.step.kind !== "inflate") return [];
      if (!asked.has(originKey(instant.step.origin))) return [];
      const inflated = pickCuffs(instant.step.cuffs, cuffs);
      // Before the injection one cuff after the other is tried, and `all` may bring up the second one.
      const needless = any(all(...inflated.map(isUp)), all(DRUG_GIVEN, someUp(inflated)));
      return [{ when: all(needless, not(LEAKED)) }];
    };
  },
  judge: (context) =>
    judgeOverRuns(context, ({ origin, run }) => {
      const { protocol } = context;
      const step = stepAt(protocol, origin);
      return {
        origin,
        what: `\`${step ? stepWords(step) : "inflate"}\` can come while ${areUpText(cuffsUpAfter(run, protocol))} already.`,
        label: "up already",
        next: "Remove it: `deflate … for` brings the cuffs up itself. Where the team is to look at the gauge, write `confirm`; where it depends, an `ask`.",
      };
    }),
};

/**
 * The inflations that answer nothing: neither an event, nor a question, nor a cuff that was not firm. One that does may well
 * find the cuff up, and bring it back to its pressure.
 */
function unasked(protocol: Protocol): Step[] {
  return [
    ...inList(protocol.steps ?? [], true),
    ...protocol.throughout.flatMap(({ steps }) => inList(steps, false)),
  ];
}

function inList(steps: readonly Step[], plain: boolean): Step[] {
  return steps.flatMap((step, at) => {
    const followsAnother = steps.slice(0, at).some(bringsUp);
    if (step.kind === "inflate") return plain || followsAnother ? [step] : [];
    return holdsSteps(step) ? inside(step, plain || followsAnother) : [];
  });
}

function inside(step: HoldingSteps, plain: boolean): Step[] {
  switch (step.kind) {
    case "stage":
      return [...inList(step.steps, plain), ...step.handlers.flatMap(({ steps }) => inList(steps, false))];
    case "repeat":
    case "do":
      return inList(step.steps, plain);
    case "ask":
      return [...inList(step.yes, false), ...inList(step.no, false)];
    case "confirm":
      return inList(step.otherwise ?? [], false);
  }
}

function bringsUp(step: Step): boolean {
  return step.kind === "inflate" || (step.kind === "deflate" && step.flatFor !== undefined);
}
