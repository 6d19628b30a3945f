import {
  allHandlers,
  type Dose,
  type Emergency,
  type Handler,
  type Protocol,
  type Step,
  stepsReached,
} from "../../model/index.ts";
import { isOfLeaks, isOfToxicitySigns } from "../../runs/index.ts";
import { isLipidEmulsion } from "./drugs.ts";

/** The emergencies that the steps of some handlers or emergencies lead to, each once. */
export function emergenciesFrom(protocol: Protocol, handlers: readonly StepsOf[]): Emergency[] {
  const reached = handlers.flatMap(({ steps }) => [...stepsReached(steps)]);
  const names = new Set(reached.flatMap((step) => (step.kind === "go-to-emergency" ? [step.emergency] : [])));
  return protocol.emergencies.filter((emergency) => names.has(emergency.name));
}

/** What holds steps: a handler or an emergency. */
type StepsOf = Pick<Emergency, "steps">;

/** The doses that some steps give into the circulation, each once, in the order of the text. */
export function dosesGivenIn({ doses }: Protocol, { steps }: StepsOf): Dose[] {
  const given = new Set(
    [...stepsReached(steps)].flatMap((step) => (step.kind === "give" && !step.as ? [step.dose] : [])),
  );
  return doses.filter(({ name }) => given.has(name));
}

/** The events that some handler answers with steps, wherever in the protocol. */
export function answeredEvents(protocol: Protocol): ReadonlySet<string> {
  const answering = allHandlers(protocol).filter(({ steps }) => steps.length > 0);
  return new Set(answering.flatMap((handler) => (handler.kind === "event" ? [handler.event] : [])));
}

/** The handlers that answer a leak, wherever in the protocol. */
export function leakHandlers(protocol: Protocol): Handler[] {
  return allHandlers(protocol).filter(isOfLeaks);
}

/** What is done about signs of toxicity: one answer with one emergency that it leads to, or the answer alone where it treats in place. */
export interface ToxicityAnswer {
  readonly handler: Handler;
  /** Undefined where the answer treats in place. */
  readonly emergency?: Emergency;
  /** All steps that it may come to: its own, those of the emergency, and those of the emergencies that one leads on to. */
  readonly steps: readonly Step[];
}

/** Every answer to signs of toxicity with each of its emergencies, wherever in the protocol it stands. */
export function toxicityAnswers(protocol: Protocol): ToxicityAnswer[] {
  return allHandlers(protocol)
    .filter(isOfToxicitySigns)
    .flatMap((handler): ToxicityAnswer[] => {
      const own = [...stepsReached(handler.steps)];
      const emergencies = emergenciesFrom(protocol, [handler]);
      if (emergencies.length > 0) {
        return emergencies.map((emergency) => ({
          handler,
          emergency,
          steps: [...own, ...stepsFrom(protocol, emergency)],
        }));
      }
      return lipidDosesGiven(protocol, handler).length > 0 ? [{ handler, steps: own }] : [];
    });
}

/** The steps of an emergency and of those that it leads on to. */
function stepsFrom(protocol: Protocol, first: Emergency): Step[] {
  const reached = new Set([first]);
  for (const emergency of reached) {
    for (const next of emergenciesFrom(protocol, [emergency])) reached.add(next);
  }
  return [...reached].flatMap(({ steps }) => [...stepsReached(steps)]);
}

/** The doses of lipid emulsion that a handler or an emergency itself gives, each once, in the order of the text. */
export function lipidDosesGiven(protocol: Protocol, steps: StepsOf): Dose[] {
  return dosesGivenIn(protocol, steps).filter(({ agent }) => isLipidEmulsion(agent));
}

/** The same of an answer with all that it leads to. */
export function lipidDosesOfAnswer({ doses }: Protocol, { steps }: ToxicityAnswer): Dose[] {
  const given = new Set(steps.flatMap((step) => (step.kind === "give" ? [step.dose] : [])));
  return doses.filter(({ name, agent }) => given.has(name) && isLipidEmulsion(agent));
}

/** The published boluses last up to 3 min, the infusions from 15 min on; what lies between is split in the middle. */
const INFUSION_FROM = 9 * 60;

/** Whether a dose is an infusion: a rate, or an amount over so long that it is no bolus. */
export function isInfusion(dose: Dose): boolean {
  return dose.rate !== undefined || (dose.over?.shortest.compare(INFUSION_FROM) ?? -1) >= 0;
}
