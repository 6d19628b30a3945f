import { compareOrigins, eachPlaceOnce, type Origin } from "@limbwright/shared/finding";
import { doseGivenBy, isEntered, type Protocol, type Step, stepsReached } from "../../model/index.ts";
import { isOfToxicitySigns, stepWords, TOXICITY_SEEN } from "../../runs/index.ts";
import type { Rule, RuleContext } from "../engine/definition.ts";
import { combine, type Detected, found, type Judgement, undecided } from "../engine/judgement.ts";
import { judgeOverRuns } from "../engine/over-runs.ts";
import { agentsIn, isLocalAnaesthetic } from "../facts/drugs.ts";
import { emergenciesFrom, leakHandlers, lipidDosesGiven } from "../facts/emergencies-reached.ts";
import { stepAt } from "../facts/shown-run.ts";

export const rule: Rule<"runs"> = {
  needs: ["runs"],
  watch:
    ({ protocol }) =>
    (instant) =>
      instant.kind === "start" && givesAnaesthetic(instant.step, protocol) ? [{ when: TOXICITY_SEEN }] : [],
  watchesEmergencies: true,
  judge,
};

function judge(context: RuleContext<"runs">): Judgement {
  const { protocol } = context;
  const overRuns = judgeOverRuns(context, ({ origin }) => words(origin, protocol));
  const told = (origin: Origin) => overRuns.found.some((one) => compareOrigins(one.origin, origin) === 0);
  const others = outsideRuns(protocol).filter(({ origin }) => !told(origin));
  return combine([
    overRuns,
    found(...others.map(({ origin }) => words(origin, protocol))),
    unknownDrugs(protocol),
  ]);
}

/**
 * What the runs do not show: an emergency that treats toxicity and that nothing leads to, or a leak alone; what is done at a leak, where
 * an answer to toxicity may have gone on to the plan.
 */
function outsideRuns(protocol: Protocol): Step[] {
  const ofLeaks = leakHandlers(protocol);
  const fromLeaks = emergenciesFrom(protocol, ofLeaks);
  const treating = protocol.emergencies.filter(
    (emergency) => lipidDosesGiven(protocol, emergency).length > 0,
  );
  const apart = treating.filter((one) => !isEntered(one, protocol) || fromLeaks.includes(one));
  const lists = [
    ...apart.map(({ steps }) => steps),
    ...(protocol.throughout.some(isOfToxicitySigns) ? ofLeaks.map(({ steps }) => steps) : []),
  ];
  const steps = lists.flatMap((list) => [...stepsReached(list)]);
  const giving = steps.filter((step) => givesAnaesthetic(step, protocol));
  return eachPlaceOnce(giving);
}

function givesAnaesthetic(step: Step, protocol: Protocol): boolean {
  const dose = doseGivenBy(step, protocol);
  return dose !== undefined && agentsIn(dose).some(isLocalAnaesthetic);
}

/** A drug whose name is not known may be one. */
function unknownDrugs({ doses }: Protocol): Judgement {
  const dose = doses.find((one) => agentsIn(one).includes(undefined));
  return dose ? undecided(`a drug of \`${dose.name}\` is not known`, dose.agentOrigin) : combine([]);
}

function words(origin: Origin, protocol: Protocol): Omit<Detected, "run"> {
  const step = stepAt(protocol, origin);
  return {
    origin,
    what: `${step ? `\`${stepWords(step)}\`` : "A local anaesthetic"} can come after signs of toxicity.`,
    label: "a local anaesthetic after signs of toxicity",
    next: "Give no local anaesthetic, by no step, once signs of toxicity were seen; end the answer to them in an emergency that gives none.",
  };
}
