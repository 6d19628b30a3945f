import {
  type Agent,
  agentsOf,
  canonicalName,
  ownDoses,
  type PatientCondition,
  type Protocol,
} from "../../model/index.ts";
import { type AnaestheticGroup, agentsIn, groupOf, groupOfName, isLocalAnaesthetic } from "./drugs.ts";

/** To what a patient is allergic, as far as the words of a condition tell. */
export type Allergen =
  /** What the protocol gives to every patient, or its group. */
  | "what is given"
  /** A drug of the protocol that only some patients are given: one that is at hand, or an emergency's. */
  | "what is at hand"
  | "something else"
  | "unknown";

const SPEAKS_OF_ALLERGY = /allerg|hypersensitiv|anaphyla/i;

/** Whether a condition in free words is about an allergy. */
export function speaksOfAllergy({ text, because }: PatientCondition): boolean {
  return SPEAKS_OF_ALLERGY.test(`${text ?? ""} ${because ?? ""}`);
}

/** Without any words it is an allergy to what the protocol gives. */
export function allergenOf({ text, because }: PatientCondition, protocol: Protocol): Allergen {
  if (text === undefined && !SPEAKS_OF_ALLERGY.test(because ?? "")) return "what is given";
  const said = text ?? because ?? "";
  const meant = said.replace(EXCLUDED, "");
  const found = allergenIn(wordsIn(meant), protocol);
  const isExcluded = found === "unknown" && allergenIn(wordsIn(said), protocol) === "what is given";
  return isExcluded ? "something else" : found;
}

/** "Allergy other than to a local anaesthetic" is none to it. */
const EXCLUDED = /\b(?:other than|except(?:ing)?|apart from|but not|not|excluding|unrelated to)\b.*$/i;

function allergenIn(words: readonly string[], protocol: Protocol): Allergen {
  const given = ownDoses(protocol)
    .flatMap(agentsIn)
    .filter((agent) => agent !== undefined);
  if (namesOneOf(given, words) || isOfGroup(given, words)) return "what is given";
  if (namesOneOf(agentsOf(protocol), words)) return "what is at hand";
  // A drug that is not known may be of the group.
  const isKnown = protocol.doses.every(({ agent, emergency }) => agent || emergency !== undefined);
  if (words.some((word) => groupNamed(word) !== undefined)) return isKnown ? "something else" : "unknown";
  if (words.some((word) => ANY_ANAESTHETIC.test(word))) return "what is given";
  const isOfNoDrug = words.some((word) => NO_DRUG_OF_THE_BLOCK.test(word));
  return isOfNoDrug && !words.some((word) => /^(?:drugs?|medicines?|medications?)$/.test(word))
    ? "something else"
    : "unknown";
}

function namesOneOf(agents: readonly Agent[], words: readonly string[]): boolean {
  const names = new Set(agents.flatMap(({ name }) => [canonicalName(name), ...wordsIn(name)]));
  return words.some((word) => names.has(word));
}

function isOfGroup(given: readonly Agent[], words: readonly string[]): boolean {
  const own = new Set(given.filter(isLocalAnaesthetic).map(groupOf));
  const groups = words.map(groupNamed).filter((group) => group !== undefined);
  // What is of no known group may be of any.
  if (groups.length > 0 && own.size > 0 && (groups.some((group) => own.has(group)) || own.has(undefined)))
    return true;
  return words.some((word) => ANTI_INFLAMMATORY.test(word)) && given.some(isAntiInflammatory);
}

function groupNamed(word: string): AnaestheticGroup | undefined {
  if (/^amides?$/.test(word)) return "amide";
  return /^esters?$/.test(word) ? "ester" : groupOfName(word);
}

const ANY_ANAESTHETIC = /^(?:anaesthe\p{L}*|locals?|caines?|la)$/u;

/** Who is allergic to one of them is taken to be so to the others; names from memory. */
const ANTI_INFLAMMATORY =
  /^(?:nsaids?|inflammatory|inflammatories|aspirin|acetylsalicyl\p{L}*|ibuprofen|diclofenac|naproxen|ketorolac|ketoprofen|tenoxicam|lornoxicam|parecoxib|indomethacin)$/u;

function isAntiInflammatory({ name, atc }: Agent): boolean {
  return wordsIn(name).some((word) => ANTI_INFLAMMATORY.test(word)) || /^M01A/i.test(atc?.value.trim() ?? "");
}

/** What people are allergic to that is in no syringe of a block. */
const NO_DRUG_OF_THE_BLOCK =
  /^(?:latex|rubber|eggs?|soya?|soybeans?|peanuts?|nuts?|shellfish|fish|milk|food|foods|pollen|grass|dust|wasps?|bees?|venom|cats?|dogs?|nickel|metal|plasters?|tape|adhesives?|dressings?|chlorhexidine|iodine|antiseptics?|disinfectants?|penicillins?|cephalosporins?|cefazolin|antibiotics?|contrast)$/;

function wordsIn(text: string): string[] {
  return text
    .split(/[^\p{L}\d]+/u)
    .filter((word) => word !== "")
    .map(canonicalName);
}
