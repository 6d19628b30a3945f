import {
  allHandlers,
  type Dose,
  type Emergency,
  type Handler,
  type Protocol,
  stepsReached,
} from "../../model/index.ts";
import { isLipidEmulsion } from "./drugs.ts";

/** The emergencies that some of these handlers lead to, each once. */
export function emergenciesFrom(protocol: Protocol, handlers: readonly Handler[]): Emergency[] {
  const reached = handlers.flatMap(({ steps }) => [...stepsReached(steps)]);
  const names = new Set(reached.flatMap((step) => (step.kind === "go-to-emergency" ? [step.emergency] : [])));
  return protocol.emergencies.filter((emergency) => names.has(emergency.name));
}

/** The doses that the steps of an emergency give, each once, in the order of the text. */
export function dosesGivenIn({ doses }: Protocol, { steps }: Emergency): Dose[] {
  const given = new Set(
    [...stepsReached(steps)].flatMap((step) => (step.kind === "give" ? [step.dose] : [])),
  );
  return doses.filter(({ name }) => given.has(name));
}

/** The events that some handler answers with steps, wherever in the protocol. */
export function answeredEvents(protocol: Protocol): ReadonlySet<string> {
  const answering = allHandlers(protocol).filter(({ steps }) => steps.length > 0);
  return new Set(answering.flatMap((handler) => (handler.kind === "event" ? [handler.event] : [])));
}

export function answersToxicity(handler: Handler): boolean {
  return handler.kind === "event" && handler.event === "toxicity-signs";
}

/** The doses of lipid emulsion that an emergency gives, each once, in the order of the text. */
export function lipidDosesGiven(protocol: Protocol, emergency: Emergency): Dose[] {
  return dosesGivenIn(protocol, emergency).filter(({ agent }) => isLipidEmulsion(agent));
}

/** The published boluses last up to 3 min, the infusions from 15 min on; what lies between is split in the middle. */
const INFUSION_FROM = 9 * 60;

/** Whether a dose is an infusion: a rate, or an amount over so long that it is no bolus. */
export function isInfusion(dose: Dose): boolean {
  return dose.rate !== undefined || (dose.over?.shortest.compare(INFUSION_FROM) ?? -1) >= 0;
}
