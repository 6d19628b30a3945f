import { type Agent, canonicalName, type Dose, type Maximum, type Protocol } from "../../model/index.ts";

/** One drug under every name and strength that the formulary carries it in. */
export interface Drug {
  /** The first agent of that drug that a dose names. */
  readonly agent: Agent;
  readonly agents: readonly Agent[];
  /** Those of all its agents. */
  readonly maxima: readonly Maximum[];
}

/** The drugs that doses name or mix in, each once, in the order of the text. */
export function drugsInDoses(protocol: Protocol): Drug[] {
  const drugs: Agent[][] = [];
  for (const agent of new Set(protocol.doses.flatMap(agentsIn))) {
    if (!agent) continue;
    const known = drugs.find((drug) => drug.some((other) => isSameDrug(other, agent)));
    if (known) known.push(agent);
    else drugs.push([agent]);
  }
  return drugs.flatMap(([agent, ...others]) =>
    agent
      ? [{ agent, agents: [agent, ...others], maxima: [agent, ...others].flatMap(({ maxima }) => maxima) }]
      : [],
  );
}

/** Whether a dose is of the drug, or mixes it in. */
export function givesDrug({ agent }: Drug, dose: Dose): boolean {
  return agentsIn(dose).some((one) => isSameDrug(one, agent));
}

/** The agents of a dose: its own, and those that are mixed in; undefined where a name is not known. */
export function agentsIn({ agent, adjuvants }: Dose): (Agent | undefined)[] {
  return [agent, ...adjuvants.map((one) => one.agent)];
}

/** Whether two agents of a formulary are the same drug: by their name, in either spelling, or by their code. */
export function isSameDrug(a: Agent | undefined, b: Agent | undefined): boolean {
  if (!a || !b) return false;
  if (a === b || canonicalName(a.name) === canonicalName(b.name)) return true;
  const [first, second] = [a.atc?.value.toUpperCase(), b.atc?.value.toUpperCase()];
  return first !== undefined && first === second;
}
