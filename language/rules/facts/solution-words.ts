import type { Origin } from "@limbwright/shared/finding";
import type { Agent } from "../../model/index.ts";
import { namesVasoconstrictor } from "./drugs.ts";

/** A word of the formulary for something that is not to be in the solution. */
export interface NamedInSolution {
  /** As written. */
  readonly word: string;
  readonly is: "narrows vessels" | "potassium" | "a preservative" | "paralyses";
  /** "its title", "what it is diluted with": where it is said. */
  readonly where: string;
  readonly origin: Origin;
}

/** What the name, the title or the diluent of an agent say is in it, and should not be; what is said to be absent is not. */
export function namedInSolution({ name, nameOrigin, title, diluent }: Agent): NamedInSolution[] {
  const texts = [
    { text: name.replace(/[-_]/g, " "), where: "its name", origin: nameOrigin },
    ...(title === undefined ? [] : [{ text: title, where: "its title", origin: nameOrigin }]),
    ...(diluent ? [{ text: diluent.value, where: "what it is diluted with", origin: diluent.origin }] : []),
  ];
  return texts.flatMap(({ text, where, origin }) => {
    const [first] = wordsOf(text);
    return first ? [{ ...first, where, origin }] : [];
  });
}

function wordsOf(text: string): Pick<NamedInSolution, "word" | "is">[] {
  const said = withoutAbsent(text);
  const words = said.match(/[\p{L}\d]+/gu) ?? [];
  const narrowing = words.find(namesVasoconstrictor) ?? VASOCONSTRICTOR_RATIO.exec(said)?.[0];
  if (narrowing !== undefined) return [{ word: narrowing, is: "narrows vessels" }];
  return SOLUTES.flatMap(({ pattern, is }) => {
    const word = pattern.exec(said)?.[0];
    return word === undefined ? [] : [{ word, is }];
  });
}

/** Adrenaline is written as a part of so many: 1:200 000, 1 in 80,000. No other drug of these solutions is. */
const VASOCONSTRICTOR_RATIO = /\b1\s*(?::|in|\/)\s*\d{2,3}[ ,.\u00a0\u2009\u202f]?000\b/i;

/** Names, from memory; saline and Ringer's and their like are none of them. */
const SOLUTES: readonly { readonly pattern: RegExp; readonly is: NamedInSolution["is"] }[] = [
  { pattern: /\b(?:potassium|kcl|cardioplegi[ac])\b/i, is: "potassium" },
  { pattern: /\b(?:suxamethonium|succinylcholine|\w+curonium|\w+curium)\b/i, is: "paralyses" },
  {
    pattern:
      /\b(?:(?:methyl|propyl)?parabens?|methyl(?:hydroxybenzoate)|benzyl alcohol|chlorocresol|chlorobutanol|bacteriostatic|meta?bisul(?:f|ph)ite)\b/i,
    is: "a preservative",
  },
];

/** "not with adrenaline" denies what it names, "without preservative, with adrenaline" does not. */
const NOT_WITH = /\b(?:not|never) (?:with|in|containing)\b/giu;

/** What is absent goes on to the end of the clause, or to where something is said to be in it again. */
const ABSENT =
  /\b(?:without|no|not|non|nor|never|free of|excluding)\b(?:(?!\b(?:with|but|plus|contain\w*|including|in)\b|[.;:()+]).)*/giu;

/** The text without what it says is not in it: "without adrenaline", "no parabens or adrenaline", "adrenaline-free", "free of". */
export function withoutAbsent(text: string): string {
  return text
    .replace(/\b[\p{L}]+(?:[ -])free\b(?! of)/giu, " ")
    .replace(NOT_WITH, "without")
    .replace(ABSENT, " ");
}
