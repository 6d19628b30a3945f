import type { Dose, Emergency, Protocol } from "../../model/index.ts";
import { dosesGivenIn } from "./emergencies-reached.ts";
import { isLipidEmulsion } from "./known-agents.ts";

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
