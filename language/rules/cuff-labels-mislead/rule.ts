import type { Repair } from "@limbwright/shared/finding";
import type { Cuff, Protocol } from "../../model/index.ts";
import { needsALook } from "../../model/text-changes.ts";
import type { Rule } from "../engine/definition.ts";
import { type Detected, found, HOLDS, type Judgement, undecided } from "../engine/judgement.ts";
import { isPartOrLimb, type Limb, type Side, wherePointed } from "../facts/limb-words.ts";

export const rule: Rule = { judge: ({ protocol }) => judge(protocol) };

function judge({ cuffs }: Protocol): Judgement {
  if (!cuffs) return undecided("the cuffs were not understood");
  const [proximal, distal] = cuffs.cuffs;
  if (!proximal || !distal) return HOLDS;
  const misleading = misleadingOf(proximal, distal);
  return misleading ? found({ ...misleading, repairs: withoutLabels(proximal, distal) }) : HOLDS;
}

function misleadingOf(proximal: Cuff, distal: Cuff): Detected | undefined {
  return (
    twoLimbs(proximal, distal) ??
    oneLabel(proximal, distal) ??
    otherCuff(proximal, distal) ??
    otherPlace(proximal, distal)
  );
}

/** No label is better than one that leads to the other cuff; nothing where the names themselves mislead. */
function withoutLabels(...cuffs: readonly [Cuff, Cuff]): Repair[] {
  const [proximal, distal] = cuffs.map(({ name, origin }): Cuff => ({ name, origin }));
  const labelled = cuffs.filter(({ label }) => label !== undefined);
  if (!proximal || !distal || labelled.length === 0 || misleadingOf(proximal, distal)) return [];
  return needsALook(
    "Take the labels away, until each says what is on its own tubing",
    ...labelled.map(({ name, origin }) => ({ origin, text: name })),
  );
}

/** What is written on a cuff, and what the protocol calls it: a team reads both. */
function wordsOn({ name, label }: Cuff): string[] {
  return label === undefined ? [name] : [name, label];
}

const SIDES: Readonly<Record<Side, string>> = { left: "left", right: "right" };
const LIMBS: Readonly<Record<Limb, string>> = { arm: "an arm", leg: "a leg" };

function twoLimbs(proximal: Cuff, distal: Cuff): Detected | undefined {
  const [one, other] = [proximal, distal].map((cuff) => wherePointed(wordsOn(cuff)));
  const sides = different(one?.sides, other?.sides);
  const limbs = different(one?.limbs, other?.limbs);
  const apart = sides
    ? sides.map((side) => SIDES[side]).join(" and ")
    : limbs?.map((limb) => LIMBS[limb]).join(" and ");
  if (apart === undefined) return undefined;
  return {
    origin: distal.origin,
    what: `The labels of \`${proximal.name}\` and \`${distal.name}\` name two limbs, ${apart}; both cuffs lie on the limb that is blocked.`,
    label: `${apart}: two limbs`,
    next: "Write on each what tells it from the other on one limb, such as the colour of its tube. If it is the gauge that is left or right, say so: `left gauge`.",
    related: [{ origin: proximal.origin, note: "the other cuff" }],
  };
}

/** A pair, one of each, where the two have nothing in common; a cuff that names neither differs from nothing. */
function different<Each>(
  one: readonly Each[] = [],
  other: readonly Each[] = [],
): readonly [Each, Each] | undefined {
  const [first] = one;
  const second = other.find((each) => !one.includes(each));
  return first !== undefined && second !== undefined ? [first, second] : undefined;
}

function oneLabel(proximal: Cuff, distal: Cuff): Detected | undefined {
  if (proximal.label === undefined || distal.label === undefined) return undefined;
  if (plain(proximal.label) !== plain(distal.label)) return undefined;
  const told =
    proximal.label === distal.label
      ? `the same label, "${distal.label}"`
      : `"${proximal.label}" and "${distal.label}", which is the same label`;
  return {
    origin: distal.origin,
    what: `\`${proximal.name}\` and \`${distal.name}\` have ${told}: nobody can tell them apart.`,
    label: "the same label as the other cuff",
    next: "Give each a label of its own, as it is on the tubing and on the machine.",
    related: [{ origin: proximal.origin, note: "the other cuff" }],
  };
}

/** A label that says the name of the other cuff, and not its own. */
function otherCuff(proximal: Cuff, distal: Cuff): Detected | undefined {
  const pairs = [
    [proximal, distal],
    [distal, proximal],
  ] as const;
  const swapped = pairs.find(([cuff, other]) => names(cuff, other.name) && !names(cuff, cuff.name));
  if (!swapped) return undefined;
  const [cuff, other] = swapped;
  return {
    origin: cuff.origin,
    what: `The label of \`${cuff.name}\` says "${cuff.label}", which is the other cuff.`,
    label: "names the other cuff",
    next: `Write what is on the tubing of \`${cuff.name}\`, or exchange the labels.`,
    related: [{ origin: other.origin, note: "the other cuff" }],
  };
}

/** Where a cuff lies by its words: the first of two is nearer to the body. */
const NEARER = "(?:upper(?:most)?|top|proximal|higher|high|above)";
const FARTHER = "(?:lower(?:most)?|bottom|distal|low|below)";

/** A word for a place, but not of a limb or a part of the machine: an upper arm, a lower gauge. */
function saysPlace(text: string, place: string): boolean {
  const found = new RegExp(`\\b${place}\\b[\\s-]*(\\p{L}*)`, "giu");
  return [...text.matchAll(found)].some(([, next = ""]) => !isPartOrLimb(next));
}

/** Words that put the nearer cuff farther from the body, or the farther one nearer. */
function otherPlace(proximal: Cuff, distal: Cuff): Detected | undefined {
  const isAtOther = (cuff: Cuff, own: string, other: string) =>
    wordsOn(cuff).some((text) => saysPlace(text, other) && !saysPlace(text, own));
  const isFirst = isAtOther(proximal, NEARER, FARTHER);
  if (!isFirst && !isAtOther(distal, FARTHER, NEARER)) return undefined;
  const [cuff, other] = isFirst ? [proximal, distal] : [distal, proximal];
  return {
    origin: cuff.origin,
    what: `"${cuff.label ?? cuff.name}" is written for the cuff that lies ${isFirst ? "nearer to" : "farther from"} the body: of two cuffs the first is the upper one.`,
    label: "names the place of the other cuff",
    next: "Write the cuffs in their order, the one nearer to the body first; or exchange the labels.",
    related: [{ origin: other.origin, note: "the other cuff" }],
  };
}

function names({ label = "" }: Cuff, name: string): boolean {
  return ` ${label.toLowerCase().replace(/[^\p{L}\p{N}-]+/gu, " ")} `.includes(` ${name} `);
}

/** A label as somebody reads it in a hurry: in either spelling, without capitals, blanks and marks, unless it is nothing else. */
function plain(label: string): string {
  const spelt = label
    .toLowerCase()
    .replace(/\bgray\b/g, "grey")
    .replace(/colored\b/g, "coloured");
  const letters = spelt.replace(/[^\p{L}\p{N}]+/gu, "");
  return letters === "" ? label.trim() : letters;
}
