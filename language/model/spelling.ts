import { distance } from "fastest-levenshtein";

/** Words that have two accepted spellings or names, each with the one used inside the program. */
const WHOLE_NAMES: ReadonlyMap<string, string> = new Map([
  ["lignocaine", "lidocaine"],
  ["epinephrine", "adrenaline"],
  ["methylene-blue", "methylthioninium"],
  ["methylthioninium-chloride", "methylthioninium"],
  ["levobupivicaine", "levobupivacaine"],
]);

const WORD_PARTS: readonly (readonly [RegExp, string])[] = [
  [/anesthe/g, "anaesthe"],
  [/(^|-)(met)?hemo/g, "$1$2haemo"],
  [/anemi/g, "anaemi"],
  [/(?<=[b-df-hj-np-tv-z])emia(?![a-z])/g, "aemia"],
  [/ischem/g, "ischaem"],
  [/edema/g, "oedema"],
  [/oooedema|ooedema/g, "oedema"],
];

/**
 * The one spelling under which the program knows a name, whichever of two accepted spellings was
 * written: lignocaine is lidocaine, epinephrine adrenaline, local-anesthetic local-anaesthetic.
 */
export function canonicalName(name: string): string {
  const lower = name.toLowerCase();
  const parts = WORD_PARTS.reduce((word, [from, to]) => word.replace(from, to), lower);
  return WHOLE_NAMES.get(parts) ?? parts;
}

/**
 * The candidate that was probably meant, or undefined when none is close: no slip in a word of up to
 * three letters, one in a word of up to five, two in a longer one. A wrong suggestion is worse than none.
 */
export function closestName(written: string, candidates: Iterable<string>): string | undefined {
  let best: string | undefined;
  let bestDistance = Number.POSITIVE_INFINITY;
  for (const candidate of candidates) {
    const slips = distance(written.toLowerCase(), candidate.toLowerCase());
    if (slips < bestDistance && slips <= mostSlips(candidate)) {
      best = candidate;
      bestDistance = slips;
    }
  }
  return best;
}

function mostSlips(candidate: string): number {
  if (candidate.length <= 3) return 0;
  return candidate.length <= 5 ? 1 : 2;
}
