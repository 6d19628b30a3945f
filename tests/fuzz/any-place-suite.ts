import { Site } from "@limbwright/language";
import {
  colouredTokens,
  completionsAt,
  foldsOf,
  hoverAt,
  inlaysOf,
  namesIn,
  type OutlineItem,
  outlineOf,
  selectionsAt,
  signatureAt,
  unreadWords,
  usedFileAt,
} from "@limbwright/language/editor";
import type { Origin } from "@limbwright/shared/finding";
import { randomFrom } from "../solver/random.ts";

/**
 * Asks everything an editor may ask, at random places of random texts and past their ends. Gives what is wrong with the
 * answers: places outside the text or inside out; an outline whose names lie outside; colours one over another.
 */
export function faultsAtAnyPlace(count: number, seed: number, textOf: (seed: number) => string): string[] {
  const faults: string[] = [];
  for (let index = seed; index < seed + count; index++) {
    const text = textOf(index);
    const random = randomFrom(index);
    const site = new Site((file) => (file === "text.limb" ? text : undefined));
    const places = Array.from({ length: 6 }, () => random.below(text.length + 20));
    const origins = [...wholeText(site), ...places.flatMap((offset) => atPlace(site, offset))];
    const wrong = origins.filter(({ start, end }) => start.offset > end.offset || end.offset > text.length);
    if (wrong.length > 0) faults.push(`text ${index}: a place outside the text`);
    faults.push(...orderFaults(site).map((fault) => `text ${index}: ${fault}`));
  }
  return faults;
}

const FILE = "text.limb";

function wholeText(site: Site): Origin[] {
  unreadWords(site, FILE);
  foldsOf(site, FILE);
  inlaysOf(site, FILE, () => undefined);
  const names = namesIn(site, FILE);
  return [...(names?.uses ?? []), ...(names?.unknown ?? [])].map(({ origin }) => origin);
}

function atPlace(site: Site, offset: number): Origin[] {
  usedFileAt(site, FILE, offset);
  signatureAt(site, FILE, offset);
  const hover = hoverAt(site, FILE, offset, () => undefined);
  completionsAt(site, FILE, offset, ["other.limb"]);
  return [...selectionsAt(site, FILE, offset), ...(hover ? [hover.origin] : [])];
}

function orderFaults(site: Site): string[] {
  const tokens = colouredTokens(site, FILE);
  const isOver = tokens.some(({ origin }, index) => {
    const before = tokens[index - 1]?.origin.end.offset ?? 0;
    return origin.start.offset < before || origin.start.line !== origin.end.line;
  });
  return [
    ...(isOver ? ["colours lie one over another"] : []),
    ...outlineOf(site, FILE).flatMap(outlineFaults),
  ];
}

function outlineFaults({ name, origin, nameOrigin, children }: OutlineItem): string[] {
  const isInside = (inner: Origin) =>
    inner.start.offset >= origin.start.offset && inner.end.offset <= origin.end.offset;
  const own = isInside(nameOrigin) ? [] : [`the name of \`${name}\` lies outside it`];
  return [...own, ...children.flatMap(outlineFaults)];
}
