import { Site } from "@limbwright/language";
import {
  colourTokens,
  completionsAt,
  findUsedFileAt,
  foldsOf,
  hoverAt,
  inlaysOf,
  namesIn,
  type OutlineItem,
  outlineOf,
  selectionsAt,
  signatureAt,
  unreadWords,
} from "@limbwright/language/editor";
import type { Origin } from "@limbwright/shared/finding";
import { expect, test } from "vitest";
import { again, seeds } from "../questions.ts";
import { randomFrom } from "../solver/random.ts";
import { brokenProtocol, cutShort, randomBytes, tokenSoup } from "./random-texts.ts";

test.each([
  ["random bytes", 80, randomBytes],
  ["words and marks in any order", 150, tokenSoup],
  ["protocols with slips", 200, brokenProtocol],
  ["protocols that end in the middle", 100, cutShort],
])("what an editor asks at any place of hundreds of texts has an answer: %s", (_name, count, textOf) => {
  expect(faultsAtAnyPlace(seeds(count), textOf)).toEqual([]);
});

/**
 * Asks everything an editor may ask, at random places of random texts and past their ends. Gives what is wrong with the
 * answers: places outside the text or inside out; an outline whose names lie outside; colours one over another.
 */
function faultsAtAnyPlace(seeds: readonly number[], textOf: (seed: number) => string): string[] {
  const faults: string[] = [];
  for (const seed of seeds) {
    const text = textOf(seed);
    const random = randomFrom(seed);
    const site = new Site((file) => (file === "text.limb" ? text : undefined));
    const places = Array.from({ length: 6 }, () => random.below(text.length + 20));
    const origins = [...wholeText(site), ...places.flatMap((offset) => atPlace(site, offset))];
    const wrong = origins.filter(({ start, end }) => start.offset > end.offset || end.offset > text.length);
    if (wrong.length > 0) faults.push(`${again(seed)}: a place outside the text`);
    faults.push(...orderFaults(site).map((fault) => `${again(seed)}: ${fault}`));
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
  findUsedFileAt(site, FILE, offset);
  signatureAt(site, FILE, offset);
  const hover = hoverAt(site, FILE, offset, () => undefined);
  completionsAt(site, FILE, offset, ["other.limb"]);
  return [...selectionsAt(site, FILE, offset), ...(hover ? [hover.origin] : [])];
}

function orderFaults(site: Site): string[] {
  const tokens = colourTokens(site, FILE);
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
