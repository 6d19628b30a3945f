import { type Agent, isAgent } from "../../model/index.ts";
import { isKnownAnaesthetic } from "./other-drugs.ts";

/** Whether an agent is a lipid emulsion, by its name or its ATC code (B05BA02, fat emulsions). */
export function isLipidEmulsion(agent: Agent | undefined): boolean {
  return isAgent(agent, "lipid-emulsion", "B05BA02") || isAgent(agent, "fat-emulsion", "B05BA02");
}

/** Whether an agent is methylthioninium (methylene blue), by its name or its ATC code. */
export function isMethylthioninium(agent: Agent | undefined): boolean {
  return isAgent(agent, "methylthioninium", "V03AB17");
}

/** Whether an agent is prilocaine, by its name or its ATC code. */
export function isPrilocaine(agent: Agent | undefined): boolean {
  return isAgent(agent, "prilocaine", "N01BB04");
}

/**
 * Whether an agent is a local anaesthetic: the formulary says so, or its name or code does, whatever kind the
 * formulary makes it.
 */
export function isLocalAnaesthetic(agent: Agent | undefined): boolean {
  return agent !== undefined && (agent.kind?.value === "local-anaesthetic" || isKnownAnaesthetic(agent));
}
