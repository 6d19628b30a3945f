import { expect, test } from "vitest";
import { type AnyOf, always, conjoin, negate } from "../../../../language/runs/inclusion/constraints.ts";
import type { Constraint } from "../../../../language/runs/zones/timed-system.ts";
import { again, firstSeed, howMany } from "../../../questions.ts";
import { type Random, randomFrom } from "../../../solver/random.ts";

const KINDS = ["at-most", "under", "at-least", "over"] as const;

function guardFrom(random: Random): Constraint[] {
  return Array.from({ length: random.below(4) }, () => ({
    clock: 1 + random.below(2),
    kind: random.pick(KINDS),
    limit: random.below(4),
  }));
}

function isSo({ clock, kind, limit }: Constraint, values: readonly number[]): boolean {
  const value = values[clock - 1] ?? 0;
  if (kind === "at-most") return value <= limit;
  if (kind === "under") return value < limit;
  return kind === "at-least" ? value >= limit : value > limit;
}

function isOneSo(any: AnyOf, values: readonly number[]): boolean {
  return any.some((guard) => guard.every((one) => isSo(one, values)));
}

/** Every pair of values of two clocks, on the limits and between them. */
const VALUES = Array.from({ length: 81 }, (_, at) => [(at % 9) / 2, Math.floor(at / 9) / 2]);

test("what misses several guards is so exactly where none of them is, however it is shortened", () => {
  const random = randomFrom(firstSeed());
  for (let round = 0; round < howMany(2_000); round += 1) {
    const guards = Array.from({ length: 1 + random.below(5) }, () => guardFrom(random));
    const missed = guards.map(negate).reduce(conjoin, always);
    for (const values of VALUES)
      expect(isOneSo(missed, values), again(firstSeed())).toBe(!isOneSo(guards, values));
  }
});

test("many guards on few clocks are missed in few ways", () => {
  const guards = Array.from({ length: 40 }, (_, at): Constraint[] => [
    { clock: 1, kind: "at-least", limit: at },
    { clock: 1, kind: "at-most", limit: at + 10 },
    { clock: 2, kind: "under", limit: at },
  ]);
  expect(guards.map(negate).reduce(conjoin, always).length).toBeLessThan(60);
});
