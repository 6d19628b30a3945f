import type { Origin, Repair } from "@limbwright/shared/finding";
import { durationText } from "@limbwright/shared/quantity";
import { allHandlers, type Protocol, type Step, stepsReached, stepsWithin } from "../../model/index.ts";
import { insertBefore, writeInstead } from "../../model/text-changes.ts";
import { type BrokenCheck, LEAKED, not, pickCuffs, someUp, stepWords } from "../../runs/index.ts";
import type { Rule, RuleContext } from "../engine/definition.ts";
import type { Detected } from "../engine/judgement.ts";
import { atStartOf, judgeOverRuns } from "../engine/over-runs.ts";
import { beforeHoldReaches, sinceInjectionText } from "../facts/planned-release.ts";
import { areText, cuffsText, cuffsUpAfter, isSamePlace, stepAt } from "../facts/shown-run.ts";

export const rule: Rule<"runs"> = {
  needs: ["runs"],
  watch: atStartOf("deflate", ({ protocol, cuffs, parameter }, step) => {
    const deflated = pickCuffs(step.cuffs, cuffs);
    if (leavesWhatWasUp(deflated, cuffs, protocol)) return [];
    const others = cuffs.filter((cuff) => !deflated.includes(cuff));
    return beforeHoldReaches(parameter("minimum"), someUp(deflated), someUp(others), not(LEAKED));
  }),
  judge: (context) => judgeOverRuns(context, (broken) => words(broken, context)),
};

/**
 * Whether only the distal cuff comes down, and the proximal one that stays up was up at the injection already: both were, and nothing
 * is swapped. What the plan does before its first injection is read in its order; where it asks, both answers count.
 */
function leavesWhatWasUp(deflated: readonly string[], cuffs: readonly string[], protocol: Protocol): boolean {
  const [proximal, distal] = cuffs;
  if (proximal === undefined || distal === undefined) return false;
  if (deflated.length !== 1 || deflated[0] !== distal) return false;
  const isDone = (kind: "inflate" | "deflate", cuff: string) => (step: Step) =>
    step.kind === kind && pickCuffs(step.cuffs, cuffs).includes(cuff);
  const reached = [...stepsReached(protocol.steps ?? [])];
  const before = reached.slice(
    0,
    reached.findIndex(({ kind }) => kind === "inject"),
  );
  const up = (cuff: string) =>
    before.findLastIndex(isDone("inflate", cuff)) > before.findLastIndex(isDone("deflate", cuff));
  return up(proximal) && up(distal);
}

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
