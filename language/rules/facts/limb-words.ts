/** Which limbs a text speaks of. Words of a machine, such as a left gauge, are no limbs. */

export type Side = "left" | "right";
export type Limb = "arm" | "leg";

export interface Pointed {
  readonly sides: readonly Side[];
  readonly limbs: readonly Limb[];
}

const SIDE_WORDS: Readonly<Record<string, Side>> = {
  ...{ left: "left", l: "left", lt: "left", lefthand: "left", lhs: "left" },
  ...{ right: "right", r: "right", rt: "right", righthand: "right", rhs: "right" },
};

const LIMB_WORDS: Readonly<Record<string, Limb>> = {
  ...{ arm: "arm", arms: "arm", forearm: "arm", wrist: "arm", elbow: "arm", hand: "arm", finger: "arm" },
  ...{
    leg: "leg",
    legs: "leg",
    thigh: "leg",
    calf: "leg",
    ankle: "leg",
    knee: "leg",
    foot: "leg",
    toe: "leg",
  },
};

/** Parts of the machine, each of which may be left or right while both cuffs lie on one limb. */
const PARTS = new Set(
  (
    "gauge gauges port ports tube tubes tubing dial dials knob knobs tap taps valve valves channel hose connector " +
    "line outlet inlet socket switch button display screen machine pump pedal bulb lever clamp " +
    "manometer regulator stopcock toggle light lamp bottle"
  ).split(" "),
);

/** Whether a word is of a limb or of the machine, so that "upper" or "lower" before it says nothing of a cuff. */
export function isPartOrLimb(word: string): boolean {
  const plain = word.toLowerCase();
  return PARTS.has(plain) || Object.hasOwn(LIMB_WORDS, plain);
}

/** The sides and limbs that texts name, each once. */
export function wherePointed(texts: readonly string[]): Pointed {
  const all = texts.map(pointedIn);
  return {
    sides: [...new Set(all.flatMap(({ sides }) => sides))],
    limbs: [...new Set(all.flatMap(({ limbs }) => limbs))],
  };
}

function pointedIn(text: string): Pointed {
  const words = text.toLowerCase().match(/\p{L}+/gu) ?? [];
  const sides = words.flatMap((word, at) => {
    const side = Object.hasOwn(SIDE_WORDS, word) ? SIDE_WORDS[word] : undefined;
    return side && !PARTS.has(nounOf(words, at)) ? [side] : [];
  });
  const limbs = words.flatMap((word, at) => {
    const limb = Object.hasOwn(LIMB_WORDS, word) ? LIMB_WORDS[word] : undefined;
    return limb && !isOfMachine(words, at) ? [limb] : [];
  });
  return { sides, limbs };
}

/** What a side belongs to: the next limb or part of the machine, or else the last one before it; "" where there is none. */
function nounOf(words: readonly string[], at: number): string {
  const isNoun = (word: string) => PARTS.has(word) || Object.hasOwn(LIMB_WORDS, word);
  return words.slice(at + 1).find(isNoun) ?? words.slice(0, at).findLast(isNoun) ?? "";
}

/** A hand pump or a foot switch is worked by hand or foot; it lies on neither. */
function isOfMachine(words: readonly string[], at: number): boolean {
  return (words[at] === "hand" || words[at] === "foot") && PARTS.has(words[at + 1] ?? "");
}
