import { randomInt } from "node:crypto";
import type { TestProject } from "vitest/node";

/**
 * How many questions the tests ask that ask at random, and from which seed on. On each commit they ask a tenth of them from a
 * fresh seed, and so never the same; every night they ask all. A run says its seed when it begins, a question that fails says
 * its own: with that in `LIMBWRIGHT_SEED` the same test begins with that question.
 */
export type Share = "a tenth" | "all";

/** What a run is told by its configuration: a fresh seed where none is given. */
export function asking(share: Share) {
  const { LIMBWRIGHT_SEED = String(randomInt(1_000_000_000)) } = process.env;
  return { LIMBWRIGHT_SEED, LIMBWRIGHT_QUESTIONS: share };
}

/** Runs before the tests. */
export function setup({ config: { env } }: TestProject): void {
  const { LIMBWRIGHT_SEED, LIMBWRIGHT_QUESTIONS, LIMBWRIGHT_WAITING } = env;
  console.log(
    `Random questions: ${LIMBWRIGHT_QUESTIONS}; again the same with LIMBWRIGHT_SEED=${LIMBWRIGHT_SEED}`,
  );
  if (LIMBWRIGHT_WAITING)
    console.log(`Files that wait for their turn, all tried at night: ${LIMBWRIGHT_WAITING}`);
}

export function firstSeed(): number {
  const seed = Number(process.env.LIMBWRIGHT_SEED);
  if (!Number.isSafeInteger(seed))
    throw new Error(`LIMBWRIGHT_SEED must be a whole number, not "${process.env.LIMBWRIGHT_SEED}"`);
  return seed;
}

/** Whether this run asks all questions: of a tenth, chance may leave out what is rare. */
export function asksAll(): boolean {
  return process.env.LIMBWRIGHT_QUESTIONS === "all";
}

/**
 * What takes longer to install than to try, such as another editor, is installed every night, and tried on each commit where it is
 * there.
 */
export const IF_THERE: readonly string[] = asksAll() ? [] : ["--if-there"];

/** How many of so many questions this run asks. */
export function howMany(all: number): number {
  return asksAll() ? all : Math.ceil(all / 10);
}

/** The seeds of so many questions, as far as this run asks them. */
export function seeds(all: number): number[] {
  return Array.from({ length: howMany(all) }, (_, at) => firstSeed() + at);
}

/** Every tenth of a list, and one of a short one, others in each run; or all of it. */
export function someOf<Item>(all: readonly Item[]): Item[] {
  const every = Math.min(10, all.length);
  return asksAll() ? [...all] : all.filter((_, at) => at % every === firstSeed() % every);
}

/**
 * At most so many of independent questions come out in a way in which such a share of them does; more come out so in less than
 * one of 100,000 runs (Bernstein's inequality).
 */
export function mostOf(count: number, share: number): number {
  return count * share + 5 * Math.sqrt(count * share) + 8;
}

/** How a question that failed is asked again. */
export function again(seed: number): string {
  return `LIMBWRIGHT_SEED=${seed}`;
}
