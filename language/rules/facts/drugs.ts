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
    // A name may tie it to one of them and its code to another: then all are one, whichever is met first.
    const known = drugs.filter((drug) => isOneOf(drug, agent));
    const joined = [...known.flat(), agent];
    const [first] = known;
    if (first) drugs.splice(drugs.indexOf(first), 1, joined);
    else drugs.push(joined);
    for (const other of known.slice(1)) drugs.splice(drugs.indexOf(other), 1);
  }
  return drugs.flatMap(([agent, ...others]) =>
    agent
      ? [{ agent, agents: [agent, ...others], maxima: [agent, ...others].flatMap(({ maxima }) => maxima) }]
      : [],
  );
}

/** Whether a dose is of the drug, or mixes it in. */
export function givesDrug({ agents }: Drug, dose: Dose): boolean {
  return agentsIn(dose).some((one) => isOneOf(agents, one));
}

/** The agents of a dose: its own, and those that are mixed in; undefined where a name is not known. */
export function agentsIn({ agent, adjuvants }: Dose): (Agent | undefined)[] {
  return [agent, ...adjuvants.map((one) => one.agent)];
}

/**
 * Whether two agents of a formulary are the same drug: by their name, in either spelling, by their code, or as the one local
 * anaesthetic that both are.
 */
export function isSameDrug(a: Agent | undefined, b: Agent | undefined): boolean {
  if (!a || !b) return false;
  if (a === b || canonicalName(a.name) === canonicalName(b.name)) return true;
  const known = knownAnaesthetic(a);
  if (known !== undefined && known === knownAnaesthetic(b)) return true;
  const [first, second] = [codeOf(a), codeOf(b)];
  return first !== undefined && first === second;
}

/** Whether an agent is the same drug as one of these, which are one drug under several names. */
export function isOneOf(agents: readonly Agent[], agent: Agent | undefined): boolean {
  return agents.some((one) => isSameDrug(one, agent));
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
 * Whether an agent is a local anaesthetic: by its name or code, whatever kind the formulary makes it; else where the formulary says so,
 * unless name or code say that it is another drug.
 */
export function isLocalAnaesthetic(agent: Agent | undefined): boolean {
  if (!agent) return false;
  return isKnownAnaesthetic(agent) || (agent.kind?.value === "local-anaesthetic" && !isOtherDrug(agent));
}

/** A drug with all the names under which a formulary may carry it. */
interface KnownDrug {
  /** The name used inside the program. */
  readonly name: string;
  /** Other names and spellings that are met with, from memory. */
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

/** Of these nothing is known here but that they are local anaesthetics; names and codes are from memory. */
const OTHERS: readonly KnownDrug[] = [
  { name: "mepivacaine", spellings: [], atc: "N01BB03" },
  { name: "butanilicaine", spellings: [], atc: "N01BB05" },
  { name: "cinchocaine", spellings: ["dibucaine"], atc: "N01BB06" },
  { name: "etidocaine", spellings: [], atc: "N01BB07" },
  { name: "articaine", spellings: ["carticaine"], atc: "N01BB08" },
  { name: "procaine", spellings: [], atc: "N01BA02" },
  { name: "tetracaine", spellings: ["amethocaine"], atc: "N01BA03" },
  { name: "benzocaine", spellings: [], atc: "N01BA05" },
  { name: "cocaine", spellings: [], atc: "N01BC01" },
];

const ANAESTHETICS: readonly KnownDrug[] = [...REFUSED, ...ACCEPTED, ...OTHERS];

/**
 * Where the ATC index lists local anaesthetics: N01B as such; the others by where or what for they are used (from memory).
 * C01BB01 is lidocaine for the rhythm of the heart.
 */
const ANAESTHETIC_CODES = /^(?:N01B|C01BB01|C05AD|D04AB|R02AD|S01HA|S02DA0[12])/;

/**
 * Drugs that narrow vessels: names, and codes from memory. C01CA are adrenaline and its like, H01BA vasopressin and its like; felypressin
 * has no code of its own.
 */
const VASOCONSTRICTORS: ReadonlySet<string> = new Set([
  "adrenaline",
  "noradrenaline",
  "norepinephrine",
  "phenylephrine",
  "felypressin",
  "ornipressin",
  "vasopressin",
  "argipressin",
  "terlipressin",
  "levonordefrin",
  "corbadrine",
  "ephedrine",
  "metaraminol",
  "methoxamine",
  "naphazoline",
]);

const VASOCONSTRICTOR_CODES = /^(?:C01CA|H01BA)/;

/** Whether an agent narrows vessels, by a part of its name or by its code, whatever kind the formulary makes it. */
export function isVasoconstrictor(agent: Agent | undefined): boolean {
  if (!agent || isKnownAnaesthetic(agent)) return false;
  return (
    wordsOf(agent.name).some((word) => VASOCONSTRICTORS.has(word)) ||
    VASOCONSTRICTOR_CODES.test(codeOf(agent) ?? "")
  );
}

/** Whether a word is the name of a drug that narrows vessels. */
export function namesVasoconstrictor(word: string): boolean {
  return VASOCONSTRICTORS.has(canonicalName(word));
}

/** Whether its code is one of a local anaesthetic together with other drugs, such as adrenaline (5 in the second last place). */
export function isCombinationByCode(agent: Agent): boolean {
  return /^N01B[A-C]5\d$/.test(codeOf(agent) ?? "");
}

/** Whether name or code say that an agent is a drug, but no local anaesthetic. */
export function isOtherDrug(agent: Agent): boolean {
  if (isKnownAnaesthetic(agent)) return false;
  const isNamed = isLipidEmulsion(agent) || isMethylthioninium(agent) || isVasoconstrictor(agent);
  return isNamed || SUBSTANCE_CODE.test(codeOf(agent) ?? "");
}

/** A code of the fifth level (https://www.whocc.no/atc/structure_and_principles/). */
export const SUBSTANCE_CODE = /^[A-Z]\d{2}[A-Z]{2}\d{2}$/;

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

/**
 * Whether an agent is a local anaesthetic by its name, by a title that is nothing but such a name, or by its ATC code, whatever the
 * formulary says of it.
 */
export function isKnownAnaesthetic(agent: Agent): boolean {
  return isNamedAnaesthetic(agent) || ANAESTHETIC_CODES.test(codeOf(agent) ?? "");
}

/** Whether an agent is one of the local anaesthetics that the rules know one by one. */
export function isListedAnaesthetic(agent: Agent): boolean {
  return knownAnaesthetic(agent) !== undefined || namedAnaesthetics(agent).length > 1;
}

/** `plain-lidocaine` and `lidocaine-2-percent` are lidocaine; `lidocaine-antidote` is not, nor what is titled so. */
function isNamedAnaesthetic({ name, title }: Agent): boolean {
  const words = wordsOf(name);
  if (words.some(isAnaestheticName) && !words.some((word) => COUNTER_WORDS.has(word))) return true;
  const telling = titleWords(title).filter((word) => !FILLERS.has(word));
  return telling.length > 0 && telling.every(isAnaestheticName);
}

/** The one of the local anaesthetics known by name that an agent is; undefined where it is none, or more than one. */
function knownAnaesthetic(agent: Agent): KnownDrug | undefined {
  if (!isKnownAnaesthetic(agent)) return undefined;
  const named = namedAnaesthetics(agent);
  if (named.length > 0) return named.length === 1 ? named[0] : undefined;
  return ANAESTHETICS.find(({ atc }) => atc === codeOf(agent));
}

function namedAnaesthetics({ name: written, title }: Agent): KnownDrug[] {
  const words = [...wordsOf(written), ...titleWords(title)];
  return ANAESTHETICS.filter(({ name, spellings }) =>
    [name, ...spellings].some((one) => words.includes(one)),
  );
}

/** The two chemical groups of local anaesthetics: who is allergic to one of a group is taken to be so to the others. */
export type AnaestheticGroup = "amide" | "ester";

/** The group that a local anaesthetic is of; undefined where it is not known. */
export function groupOf(agent: Agent): AnaestheticGroup | undefined {
  const code = knownAnaesthetic(agent)?.atc ?? codeOf(agent) ?? "";
  if (/^N01BB(?!2|5)/.test(code)) return "amide";
  return /^N01B[AC]/.test(code) ? "ester" : undefined;
}

/** The group of the local anaesthetic that a word names. */
export function groupOfName(word: string): AnaestheticGroup | undefined {
  const known = ANAESTHETICS.find(({ name, spellings }) => name === word || spellings.includes(word));
  if (!known) return undefined;
  return known.atc.startsWith("N01BB") ? "amide" : "ester";
}

/** By the stem that all their international names end in, -caine, in the spellings of several languages (from memory). */
function isAnaestheticName(word: string): boolean {
  const plain = word.normalize("NFD").replace(/\p{M}/gu, "");
  return /^\p{L}+ca(?:ine?|ina|inum)(?:\d.*)?$/u.test(plain);
}

/** With one of these in its name a drug is one against a local anaesthetic, or against what it does. */
const COUNTER_WORDS: ReadonlySet<string> = new Set([
  ...["antidote", "antagonist", "anti", "against", "reversal", "binder", "scavenger"],
  ...["toxicity", "overdose", "allergy"],
]);

/** What stands beside the name of a drug in a title, and makes it no other drug. */
const FILLERS: ReadonlySet<string> = new Set([
  ...[
    "hydrochloride",
    "hcl",
    "plain",
    "heavy",
    "preservative",
    "free",
    "without",
    "with",
    "and",
    "for",
    "in",
  ],
  ...[
    "adrenaline",
    "epinephrine",
    "injection",
    "solution",
    "ampoule",
    "ampoules",
    "vial",
    "vials",
    "syringe",
  ],
  ...[
    "local",
    "anaesthetic",
    "anesthetic",
    "intravenous",
    "regional",
    "anaesthesia",
    "anesthesia",
    "iv",
    "ivra",
  ],
  ...["infiltration", "nerve", "block", "mg", "ml", "mcg", "g", "percent", "strength", "diluted", "saline"],
]);

function titleWords(title = ""): string[] {
  return title
    .split(/[^\p{L}\d]+/u)
    .filter((word) => /\p{L}/u.test(word))
    .map(canonicalName);
}

/** Its ATC code, however it is spaced. */
export function codeOf({ atc }: Agent): string | undefined {
  return atc?.value.replace(/\s+/g, "").toUpperCase();
}

/** A name whole and in its parts, under the program's one spelling. */
export function wordsOf(name: string): string[] {
  return [canonicalName(name), ...name.split(/[-_]/).map(canonicalName)];
}
