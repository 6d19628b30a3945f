/** A small random source whose every number follows from its seed (xorshift with 32 bits). */
export interface Random {
  /** A whole number from 0 to `count` - 1. */
  readonly below: (count: number) => number;
  readonly pick: <Item>(items: readonly Item[]) => Item;
  /** True once in `count` times. */
  readonly oneIn: (count: number) => boolean;
}

export function randomFrom(seed: number): Random {
  let state = (Math.imul(seed, 0x9e3779b1) ^ 0x5bd1e995) | 0 || 1;
  const next = (): number => {
    state ^= state << 13;
    state ^= state >>> 17;
    state ^= state << 5;
    return state >>> 0;
  };
  for (let warm = 0; warm < 8; warm += 1) next();
  const below = (count: number): number => next() % count;
  return {
    below,
    oneIn: (count) => below(count) === 0,
    pick: (items) => {
      const item = items[below(items.length)];
      if (item === undefined) throw new Error("nothing to pick from");
      return item;
    },
  };
}
