import { distance } from "fastest-levenshtein";

/** Two lists of things that belong together: in pairs, and what only one side has. */
export interface Parted<T> {
  readonly pairs: readonly (readonly [before: T, now: T])[];
  readonly gone: readonly T[];
  readonly added: readonly T[];
}

/** Whether two belong together; `left` is what has no partner yet. */
type PairTest<T> = (before: T, now: T, left: Omit<Parted<T>, "pairs">) => boolean;

/** Pairs two lists, one by one: by the first of the tests, then what is left by the next. */
export function pairedBy<T>(
  before: readonly T[],
  now: readonly T[],
  ...tests: readonly PairTest<T>[]
): Parted<T> {
  const pairs: (readonly [T, T])[] = [];
  let [gone, added] = [before, now];
  for (const isPair of tests) {
    for (const one of gone) {
      const other = added.find((candidate) => isPair(one, candidate, { gone, added }));
      if (other === undefined) continue;
      pairs.push([one, other]);
      gone = gone.filter((left) => left !== one);
      added = added.filter((left) => left !== other);
    }
  }
  return { pairs, gone, added };
}

/**
 * Pairs what has the same key; then what is left and is nearly the same text. A text that only few letters
 * tell apart was corrected; any other is another one.
 */
export function partedByKey<T>(
  before: readonly T[],
  now: readonly T[],
  keyOf: (one: T) => string,
  textOf: (one: T) => string = () => "",
): Parted<T> {
  return pairedBy(
    before,
    now,
    (a, b) => keyOf(a) === keyOf(b),
    (a, b) => isNearly(textOf(a), textOf(b)),
  );
}

/** Whether one text is the other with few letters changed: one in five. */
export function isNearly(before: string, now: string): boolean {
  if (before === "" || now === "") return false;
  return distance(before, now) * 5 <= Math.max(before.length, now.length);
}
