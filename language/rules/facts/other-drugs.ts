import { type Agent, canonicalName } from "../../model/index.ts";

/** A local anaesthetic with all the names under which a formulary may carry it. */
interface Drug {
  /** The name used inside the program. */
  readonly name: string;
  /** Other spellings that are met with, from memory. */
  readonly spellings: readonly string[];
  /** As the World Health Organization's index of ATC codes lists it. */
  readonly atc: string;
}

/** A drug that is not to be injected behind a cuff, and what is published about it. */
export interface RefusedDrug extends Drug {
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

const ACCEPTED: readonly Drug[] = [
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
