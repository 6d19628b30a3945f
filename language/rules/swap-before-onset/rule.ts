import type { Origin, Repair } from "@limbwright/shared/finding";
import { durationText } from "@limbwright/shared/quantity";
import { allHandlers, type Protocol, stepsWithin } from "../../model/index.ts";
import { insertBefore, writeInstead } from "../../model/text-changes.ts";
import {
  all,
  type BrokenCheck,
  DRUG_IN_LIMB,
  HOLD,
  HOLD_RUNS,
  LEAKED,
  not,
  pickCuffs,
  someUp,
  stepWords,
} from "../../runs/index.ts";
import type { Detected, Rule, RuleContext } from "../engine/definition.ts";
import { judgeOverRuns } from "../engine/over-runs.ts";
import { sinceInjectionText } from "../facts/planned-release.ts";
import { areText, cuffsText, cuffsUpAfter, isSamePlace, stepAt } from "../facts/shown-run.ts";

const ID = "swap-before-onset";

export const rule: Rule<"runs"> = {
  id: ID,
  title: "Cuffs are swapped only after the block has set",
  group: "cuff",
  severity: "doubtful",
  why: "The second cuff is borne because the skin under it is numb; before the block has set it hurts as much as the first.",
  sources: [
    { source: "miller-block", says: "the block sets usually within 5 min: the standard of this rule" },
    {
      source: "emergency-reference",
      says: "the distal cuff is inflated about 10 min after the injection (later)",
    },
    { source: "miller-children", says: "children: about 10 min after the injection (later)" },
    {
      source: "simon-1997",
      says: "onset after lidocaine 11.2 ± 5.1, prilocaine 10.9 ± 6.0, articaine 2.5 ± 1.1 min (later, and sooner)",
    },
    {
      source: "chan-1999",
      says: "feeling was gone altogether within 25 min, movement within 30 min (later)",
    },
    {
      source: "forearm-and-upper-arm",
      says: "onset 6.2 ± 2.5 min behind an upper-arm cuff, 7.7 ± 2.3 min behind a forearm cuff (later)",
    },
    { source: "colour-atlas", says: "10 to 15 min until the block is adequate (later)" },
  ],
  parameters: [
    {
      name: "minimum",
      title: "Shortest time from the injection to the swap",
      unit: "min",
      standard: "5",
      tighter: "higher",
      source: "miller-block",
    },
  ],
  needs: ["runs"],
  watch:
    ({ cuffs, parameter }) =>
    (instant) => {
      if (instant.kind !== "start" || instant.step.kind !== "deflate") return [];
      const deflated = pickCuffs(instant.step.cuffs, cuffs);
      const others = cuffs.filter((cuff) => !deflated.includes(cuff));
      const swaps = [someUp(deflated), someUp(others), DRUG_IN_LIMB, not(LEAKED)];
      return [
        { when: all(...swaps, not(HOLD_RUNS)) },
        {
          when: all(...swaps, HOLD_RUNS),
          clocks: [{ clock: HOLD, is: "under", seconds: parameter("minimum") }],
        },
      ];
    },
  judge: (context) => judgeOverRuns(context, ID, (broken) => words(broken, context)),
};

function words({ origin, run }: BrokenCheck, { protocol, parameter }: RuleContext): Omit<Detected, "run"> {
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
