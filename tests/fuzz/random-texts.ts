import { KEYWORDS } from "../../language/grammar/generated/keywords.ts";
import { randomFrom } from "../solver/random.ts";
import { mutated } from "./mutations.ts";
import { randomProtocol, untidyProtocol } from "./random-protocol.ts";

/** Bytes as a reader gets them that takes the file for Latin-1, or for UTF-8 with replacements. */
export function randomBytes(seed: number): string {
  const random = randomFrom(seed);
  const bytes = Buffer.from(Array.from({ length: random.below(3_000) }, () => random.below(256)));
  return bytes.toString(random.oneIn(2) ? "latin1" : "utf8");
}

const MARKS = ["{", "}", "{", "}", "(", ")", ",", ".", "=", "+", "-", "//", '"', "\n", "\n", "\n", " ", "\t"];
const VALUES = [
  "5 min",
  "3 mg/kg",
  "0.5 %",
  "5",
  "1.4.0",
  "2027-06-30",
  '"text"',
  "0,5",
  ".5",
  "5 \u00b5g",
  "systolic-10",
];
const NAMES = ["local", "distal", "hold", "lidocaine", "Procedure", "a_b", "inflaet", "timr"];

/** Words and marks of the language in any order. */
export function tokenSoup(seed: number): string {
  const random = randomFrom(seed);
  const words = [...KEYWORDS];
  const length = random.below(400);
  return Array.from({ length }, () => random.pick(random.pick([words, words, MARKS, VALUES, NAMES]))).join(
    random.oneIn(8) ? "" : " ",
  );
}

/** A protocol with several slips. */
export function brokenProtocol(seed: number): string {
  const random = randomFrom(seed);
  let text = random.oneIn(2) ? randomProtocol(seed) : untidyProtocol(seed);
  for (let slips = 1 + random.below(6); slips > 0; slips--) text = mutated(text, random);
  return text;
}

/** A protocol that ends in the middle. */
export function cutShort(seed: number): string {
  const text = untidyProtocol(seed);
  return text.slice(0, randomFrom(~seed).below(text.length));
}
