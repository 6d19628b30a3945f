import {
  type Agent,
  canonicalName,
  type Dose,
  isAgent,
  type Maximum,
  type Protocol,
} from "../../model/index.ts";

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

/** A local anaesthetic with all the names under which a formulary may carry it. */
interface KnownDrug {
  /** The name used inside the program. */
  readonly name: string;
  /** Other spellings that are met with, from memory. */
  readonly spellings: readonly string[];
  /** As the World Health Organization's index of ATC codes lists it. */
  readonly atc: string;
}

/** A drug that is not to be injected behind a cuff, and what is published about it. */
export interface RefusedDrug extends KnownDrug {
  readonly because: string;
}

/** https://rxreasoner.com/atccodes/N01BB (passage read) and public lists of codes (reported elsewhere). */
const REFUSED: readonly RefusedDrug[] = [
  {
    name: "bupivacaine",
    spellings: ["bupivicaine"],
    atc: "N01BB01",
    because:
      "its US label contraindicates it for intravenous regional anaesthesia: hearts have stopped, and patients died",
  },
  {
    name: "levobupivacaine",
    spellings: ["levobupivicaine"],
    atc: "N01BB10",
    because: "it is the left-handed form of bupivacaine, and its product information contraindicates it",
  },
  {
    name: "ropivacaine",
    spellings: ["ropivicaine"],
    atc: "N01BB09",
    because: "its US label says not to use it for intravenous regional anaesthesia: there are too few data",
  },
  {
    name: "chloroprocaine",
    spellings: ["chlorprocaine"],
    atc: "N01BA04",
    because: "an old preparation inflamed the veins of 4 in 51 patients",
  },
];

const ACCEPTED: readonly KnownDrug[] = [
  { name: "lidocaine", spellings: [], atc: "N01BB02" },
  { name: "prilocaine", spellings: [], atc: "N01BB04" },
];

/**
 * The refused drug that an agent is by its name, its title or its ATC code; any one of them is enough, also
 * where they disagree. A part of a name counts: `bupivacaine-heavy` is bupivacaine.
 */
export function findRefusedDrug(
  agent: Agent,
): { readonly drug: RefusedDrug; readonly by: string } | undefined {
  const code = codeOf(agent);
  const words = [agent.name, ...(agent.title ?? "").split(/[^\p{L}-]+/u)].flatMap(wordsOf);
  for (const drug of REFUSED) {
    if ([drug.name, ...drug.spellings].some((name) => words.includes(name)))
      return { drug, by: "by its name" };
  }
  const coded = REFUSED.find(({ atc }) => atc === code);
  return coded && { drug: coded, by: `by its ATC code ${coded.atc}` };
}

/** Whether an agent is lidocaine or prilocaine by its whole name, and its code, if there is one, says the same. */
export function isAcceptedDrug(agent: Agent): boolean {
  const code = codeOf(agent);
  const name = canonicalName(agent.name);
  return ACCEPTED.some((drug) => drug.name === name && (code === undefined || code === drug.atc));
}

/** Whether an agent is one of the local anaesthetics known here, or its code is of their group, N01B. */
export function isKnownAnaesthetic(agent: Agent): boolean {
  const name = canonicalName(agent.name);
  const isNamed = ACCEPTED.some((drug) => drug.name === name) || findRefusedDrug(agent) !== undefined;
  return isNamed || (codeOf(agent)?.startsWith("N01B") ?? false);
}

function codeOf({ atc }: Agent): string | undefined {
  return atc?.value.replace(/\s+/g, "").toUpperCase();
}

function wordsOf(name: string): string[] {
  return [canonicalName(name), ...name.split("-").map(canonicalName)];
}
