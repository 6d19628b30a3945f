import { eachPlaceOnce } from "@limbwright/shared/finding";
import { type Agent, allSteps, type Dose, doseGivenBy, type Protocol, type Step } from "../../model/index.ts";
import type { Rule } from "../engine/definition.ts";
import { combine, found, HOLDS, type Judgement, undecided } from "../engine/judgement.ts";
import { agentsIn, isLocalAnaesthetic, isOtherDrug } from "../facts/drugs.ts";

export const rule: Rule = {
  judge: ({ protocol }) => combine(givingsOf(protocol).map((step) => judgeStep(step, protocol))),
};

type Giving = Extract<Step, { readonly kind: "give" }>;

/** Every step that gives a dose, each place in the text once. */
function givingsOf(protocol: Protocol): readonly Giving[] {
  const givings = [...allSteps(protocol)].filter((step) => step.kind === "give");
  return eachPlaceOnce(givings);
}

function judgeStep(step: Giving, protocol: Protocol): Judgement {
  const dose = doseGivenBy(step, protocol);
  if (!dose) return HOLDS;
  return step.as ? judgeInTissues(step, dose) : judgeInCirculation(step, dose);
}

function judgeInCirculation(step: Giving, dose: Dose): Judgement {
  const agents = agentsIn(dose);
  const anaesthetic = agents.find(isLocalAnaesthetic);
  if (!anaesthetic) {
    const isOpen = agents.some((agent) => !agent || isUnknown(agent));
    return isOpen
      ? undecided(`whether \`${dose.name}\` is a local anaesthetic is not known`, step.origin)
      : HOLDS;
  }
  return found({
    origin: step.origin,
    what: `\`give ${dose.name}\` puts ${anaesthetic.name}, a local anaesthetic, into the circulation.`,
    label: "a local anaesthetic into the circulation",
    next: `Write \`inject ${dose.name}\` for the block; \`give ${dose.name} as infiltration\` or \`as nerve-block\` where it goes into the tissues.`,
    related: [{ origin: dose.agentOrigin, note: "the dose" }],
  });
}

/** Neither name, code nor kind say what it is. */
function isUnknown(agent: Agent): boolean {
  return agent.kind === undefined && !isOtherDrug(agent);
}

/** A drug that treats, treats nothing in the tissues. */
function judgeInTissues(step: Giving, dose: Dose): Judgement {
  const { agent } = dose;
  if (agent?.kind?.value !== "rescue" || isLocalAnaesthetic(agent)) return HOLDS;
  return found({
    origin: step.origin,
    what: `\`${dose.name}\` is ${agent.name}, which treats a patient from the circulation, and is given as ${step.as}.`,
    label: "does not treat there",
    next: `Write \`give ${dose.name}\`.`,
    related: [{ origin: dose.agentOrigin, note: "the dose" }],
  });
}
