import type { Origin, Repair } from "@limbwright/shared/finding";
import { durationText } from "@limbwright/shared/quantity";
import { allHandlers, type Protocol, stepsWithin } from "../../model/index.ts";
import { insertBefore, writeInstead } from "../../model/text-changes.ts";
import { type BrokenCheck, LEAKED, not, pickCuffs, someUp, stepWords } from "../../runs/index.ts";
import type { Rule, RuleContext } from "../engine/definition.ts";
import type { Detected } from "../engine/judgement.ts";
import { judgeOverRuns } from "../engine/over-runs.ts";
import { beforeHoldReaches, sinceInjectionText } from "../facts/planned-release.ts";
import { areText, cuffsText, cuffsUpAfter, isSamePlace, stepAt } from "../facts/shown-run.ts";

export const rule: Rule<"runs"> = {
  needs: ["runs"],
  watch:
    ({ cuffs, parameter }) =>
    (instant) => {
      if (instant.kind !== "start" || instant.step.kind !== "deflate") return [];
      const deflated = pickCuffs(instant.step.cuffs, cuffs);
      const others = cuffs.filter((cuff) => !deflated.includes(cuff));
      return beforeHoldReaches(parameter("minimum"), someUp(deflated), someUp(others), not(LEAKED));
    },
  judge: (context) => judgeOverRuns(context, (broken) => words(broken, context)),
};

function words(
  { origin, run }: BrokenCheck,
  { rule, protocol, parameter }: RuleContext,
): Omit<Detected, "run"> {
  const step = stepAt(protocol, origin);
  const left = cuffsUpAfter(run, protocol);
  const minimum = parameter("minimum");
  return {
    origin,
    what: `\`${step ? stepWords(step) : "deflate"}\` can come ${sinceInjectionText(run)}; ${cuffsText(left)} ${areText(left)} then left up alone, before the block has set.`,
    label: "the block may not have set",
    why: `${rule.why} The swap is expected ${durationText(minimum.value)} after the injection or later (${minimum.from}).`,
    next: `Write \`wait ${durationText(minimum.value)}\` between the injection and this step, or \`not before …\` in its \`when\`.`,
    repairs: laterSwap(protocol, origin, durationText(minimum.value)),
  };
}

/** A swap that answers an event is put off there, so that nobody waits with both cuffs up. */
function laterSwap(protocol: Protocol, origin: Origin, minimum: string): Repair[] {
  const handler = allHandlers(protocol).find(({ steps }) =>
    [...stepsWithin(steps)].some((step) => isSamePlace(step.origin, origin)),
  );
  if (!handler) return insertBefore(origin, `wait ${minimum}`);
  if (handler.kind !== "event" || handler.notBefore) return [];
  const { event, cuff, times } = handler;
  const heading = [
    `when ${event}`,
    cuff === undefined ? "" : `of ${cuff}`,
    `not before ${minimum}`,
    times === undefined ? "" : times === 1 ? "once" : `up to ${times} times`,
  ];
  return writeInstead(handler.origin, heading.filter((part) => part !== "").join(" "));
}
