import type { Random } from "../solver/random.ts";

/** The items, or nothing, with even chances. */
export function maybe<Item>(random: Random, ...items: readonly Item[]): readonly Item[] {
  return random.oneIn(2) ? items : [];
}

export function shuffled<Item>(random: Random, items: readonly Item[]): Item[] {
  const left = [...items];
  const drawn: Item[] = [];
  while (left.length > 0) drawn.push(...left.splice(random.below(left.length), 1));
  return drawn;
}
