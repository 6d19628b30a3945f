import { stepsReached } from "../../model/index.ts";
import {
  all,
  type BrokenCheck,
  cuffNames,
  DRUG_GIVEN,
  EMPTIED,
  isConfirmed,
  isUp,
  LEAKED,
  not,
  pickCuffs,
} from "../../runs/index.ts";
import type { Rule, RuleContext } from "../engine/definition.ts";
import { combine, type Detected, found, HOLDS, type Judgement, type Words } from "../engine/judgement.ts";
import { judgeOverRuns } from "../engine/over-runs.ts";
import { cuffsUpAfter, stepAt } from "../facts/shown-run.ts";
import { doneBefore } from "../facts/step-repairs.ts";

const EITHER = "either";
const PROXIMAL_ALONE = "proximal-alone";
const BOTH_THEN_PROXIMAL = "both-then-proximal";
const ORDERS = [EITHER, PROXIMAL_ALONE, BOTH_THEN_PROXIMAL];

export const rule: Rule<"runs"> = {
  needs: ["runs"],
  watch: ({ cuffs, parameter }) => {
    const [proximal, distal] = cuffs;
    if (proximal === undefined || distal === undefined) return () => [];
    const order = ORDERS[parameter("order")];
    const before = [not(DRUG_GIVEN), not(LEAKED)];
    // Both cuffs may be tried before the limb is emptied, in whatever order.
    const inEarnest = [...before, EMPTIED];
    return (instant) => {
      if (instant.kind !== "start") return [];
      const { step } = instant;
      if (step.kind === "inject") return [{ when: all(...before, isUp(distal)) }];
      if (!("cuffs" in step) || !pickCuffs(step.cuffs, cuffs).includes(distal)) return [];
      if (step.kind === "inflate" && order === PROXIMAL_ALONE) return [{ when: all(...inEarnest) }];
      if (step.kind === "deflate" && order === BOTH_THEN_PROXIMAL) {
        const bothHold = all(isConfirmed(proximal), isConfirmed(distal));
        return [{ when: all(...inEarnest, isUp(distal), not(bothHold)) }];
      }
      return [];
    };
  },
  judge: (context) =>
    combine([judgeOverRuns(context, (broken) => words(broken, context)), neverBoth(context)]),
};

/** Where both cuffs are to be inflated first, the plan has to inflate the distal one before it injects. */
function neverBoth({ protocol, parameter }: RuleContext): Judgement {
  const cuffs = cuffNames(protocol);
  const distal = cuffs[1];
  if (distal === undefined || parameter("order").word !== BOTH_THEN_PROXIMAL) return HOLDS;
  for (const step of stepsReached(protocol.steps ?? [])) {
    if (step.kind === "inflate" && pickCuffs(step.cuffs, cuffs).includes(distal)) return HOLDS;
    if (step.kind === "inject") {
      return found({
        origin: step.origin,
        what: `The injection comes without \`${distal}\` having been inflated, and local rules ask for both cuffs first.`,
        label: "only one cuff was tried",
        next: `Inflate and confirm \`${distal}\` too, then \`deflate ${distal}\`, before this step.`,
      });
    }
  }
  return HOLDS;
}

function words(
  { origin, run }: BrokenCheck,
  { rule, protocol, parameter }: RuleContext,
): Omit<Detected, "run"> {
  const [proximal = "", distal = ""] = cuffNames(protocol);
  const { from } = parameter("order");
  const kind = stepAt(protocol, origin)?.kind;
  if (kind === "inflate") {
    return {
      origin,
      what: `\`${distal}\` is inflated before the injection.`,
      label: "not the order that is taught",
      why: `${rule.why} The proximal cuff alone comes first (${from}).`,
      next: `Inflate \`${proximal}\` alone; try both cuffs, if that is the custom, before the limb is emptied.`,
    };
  }
  if (kind === "deflate") {
    return {
      origin,
      what: `\`${distal}\` can be let down before both cuffs are up and confirmed.`,
      label: "not the order that is taught",
      why: `${rule.why} Both cuffs are inflated and confirmed first (${from}).`,
      next: `Confirm \`${proximal}\` and \`${distal}\` before this step.`,
    };
  }
  const areBoth = cuffsUpAfter(run, protocol).includes(proximal);
  const before = areBoth ? [] : [`inflate ${proximal}`, `confirm ${proximal}`];
  return {
    origin,
    ...atInjection(proximal, distal, areBoth),
    // The distal cuff is let down before the injection, once the other one is up.
    repairs: doneBefore(protocol, origin, ...before, `deflate ${distal}`),
  };
}

function atInjection(proximal: string, distal: string, areBoth: boolean): Words {
  return {
    what: areBoth
      ? `Both cuffs can be up at the injection: the skin under \`${distal}\` does not get numb for the swap.`
      : `\`${distal}\` alone can be up at the injection: nothing is left to swap to.`,
    label: `${distal} is up here`,
    next: areBoth
      ? `Write \`deflate ${distal}\` before this step, once both are confirmed.`
      : `Inflate and confirm \`${proximal}\`, then write \`deflate ${distal}\`, before this step.`,
  };
}
