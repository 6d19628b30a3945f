import { allSteps, doseGivenBy, type Protocol, type Step } from "../../model/index.ts";
import { type BrokenCheck, not, TOXICITY_SEEN } from "../../runs/index.ts";
import type { Rule, RuleContext } from "../engine/definition.ts";
import { combine, type Detected, HOLDS, type Judgement, undecided } from "../engine/judgement.ts";
import { judgeOverRuns } from "../engine/over-runs.ts";
import { isSedating, isSedatingMixture, watchesSedation } from "../facts/sedation.ts";
import { stepAt } from "../facts/shown-run.ts";

export const rule: Rule<"runs"> = {
  needs: ["runs"],
  watch: ({ protocol }) => {
    const isWatched = watchesSedation(protocol);
    return (instant) =>
      instant.kind === "start" && !isWatched && sedativeOf(instant.step, protocol) !== undefined
        ? [{ when: not(TOXICITY_SEEN) }]
        : [];
  },
  judge: (context) => combine([judgeGiven(context), unknownDrugs(context.protocol)]),
};

function judgeGiven(context: RuleContext<"runs">): Judgement {
  const { protocol } = context;
  const gives = [...allSteps(protocol)].some((step) => sedativeOf(step, protocol) !== undefined);
  if (!gives || watchesSedation(protocol)) return HOLDS;
  return judgeOverRuns(context, (broken) => words(broken, context));
}

/** The drug that a step gives and that makes sleepy: by itself, or mixed into what goes behind the cuff. */
function sedativeOf(step: Step, protocol: Protocol): string | undefined {
  const dose = doseGivenBy(step, protocol);
  if (!dose) return undefined;
  if (isSedating(dose.agent)) return dose.agent?.name;
  return dose.adjuvants.find(({ agent }) => isSedatingMixture(agent))?.agent?.name;
}

function words({ origin }: BrokenCheck, { protocol }: RuleContext): Omit<Detected, "run"> {
  const step = stepAt(protocol, origin);
  const drug = (step && sedativeOf(step, protocol)) ?? "A sedative";
  const isMixedIn = step?.kind === "inject";
  return {
    origin,
    what: `${drug} makes sleepy${isMixedIn ? " when the cuff comes down" : ""}, and the protocol does not say who watches breathing and consciousness, or what is done when the patient cannot be roused.`,
    label: "sedated, and nobody watches",
    next: 'Write who watches, as `task "Watches breathing and consciousness, and does nothing else" by "…"`; and an answer, as `event drowsy "Drowsy, or breathing slowly"` with `when drowsy { … }`.',
  };
}

function unknownDrugs(protocol: Protocol): Judgement {
  const unknown = protocol.doses.find(({ agent, emergency }) => !agent && emergency === undefined);
  return unknown ? undecided(`the drug of \`${unknown.name}\` is not known`, unknown.origin) : HOLDS;
}
