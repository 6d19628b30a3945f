import type { Origin } from "@limbwright/shared/finding";
import { type Agent, allSteps, type Dose, type Protocol, type Step } from "../../model/index.ts";
import { combine, type Judgement, type Undecided } from "../engine/judgement.ts";
import { isLocalAnaesthetic } from "./drugs.ts";

/** A drug that goes behind the cuff: that of an injected dose, or one mixed into it. */
export interface InjectedDrug {
  /** Undefined where its name is unknown. */
  readonly agent?: Agent;
  readonly dose: Dose;
  /** The words that name it in the dose. */
  readonly origin: Origin;
  readonly isMixedIn: boolean;
  /** The first step that injects it. */
  readonly step: Step;
}

/** Every drug of every injected dose, in the order of the text. */
export function findInjectedDrugs(protocol: Protocol): InjectedDrug[] {
  const steps = new Map<string, Step>();
  for (const step of allSteps(protocol)) {
    if (step.kind === "inject" && !steps.has(step.dose)) steps.set(step.dose, step);
  }
  return protocol.doses.flatMap((dose) => {
    const step = steps.get(dose.name);
    return step ? drugsOf(dose, step) : [];
  });
}

function drugsOf(dose: Dose, step: Step): InjectedDrug[] {
  const own = { ...(dose.agent && { agent: dose.agent }), dose, step };
  return [
    { ...own, origin: dose.agentOrigin, isMixedIn: false },
    ...dose.adjuvants.map(({ agent, origin }) => ({
      ...(agent && { agent }),
      dose,
      step,
      origin,
      isMixedIn: true,
    })),
  ];
}

/** Why nobody can say what kind of drug some injected ones are: the name is unknown, or the kind is not written. */
export function tellUnknownKinds(drugs: readonly InjectedDrug[]): Undecided[] {
  return drugs.flatMap(({ agent, origin }) => {
    if (!agent) return [{ limit: "an injected drug is not known", origin }];
    if (!agent.kind)
      return [{ limit: `the formulary does not say what kind of drug ${agent.name} is`, origin }];
    return [];
  });
}

/**
 * Judges every injected dose of a local anaesthetic, and no other dose. What is injected without the
 * formulary saying what kind of drug it is, is not decided.
 */
export function judgeInjectedAnaesthetics(protocol: Protocol, judge: (dose: Dose) => Judgement): Judgement {
  const drugs = findInjectedDrugs(protocol).filter(({ isMixedIn }) => !isMixedIn);
  const anaesthetics = drugs.filter(({ agent }) => isLocalAnaesthetic(agent));
  return combine([
    { found: [], undecided: tellUnknownKinds(drugs) },
    ...anaesthetics.map(({ dose }) => judge(dose)),
  ]);
}
