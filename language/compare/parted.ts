import { distance } from "fastest-levenshtein";

/** Two lists of things that belong together by a key. */
export interface Parted<T> {
  readonly pairs: readonly (readonly [before: T, now: T])[];
  readonly gone: readonly T[];
  readonly added: readonly T[];
}

/**
 * Pairs what has the same key, one by one; then what is left and is nearly the same text. A text that only few letters
 * tell apart was corrected; any other is another one.
 */
export function partedByKey<T>(
  before: readonly T[],
  now: readonly T[],
  keyOf: (one: T) => string,
  textOf?: (one: T) => string,
): Parted<T> {
  const pairs: (readonly [T, T])[] = [];
  let left = [...now];
  let gone: T[] = [];
  const pairUp = (old: readonly T[], isPair: (a: T, b: T) => boolean): T[] =>
    old.filter((one) => {
      const other = left.find((candidate) => isPair(one, candidate));
      if (other === undefined) return true;
      pairs.push([one, other]);
      left = left.filter((candidate) => candidate !== other);
      return false;
    });
  gone = pairUp(before, (a, b) => keyOf(a) === keyOf(b));
  if (textOf) gone = pairUp(gone, (a, b) => isNearly(textOf(a), textOf(b)));
  return { pairs, gone, added: left };
}

/** Whether one text is the other with few letters changed: one in five. */
export function isNearly(before: string, now: string): boolean {
  if (before === "" || now === "") return false;
  return distance(before, now) * 5 <= Math.max(before.length, now.length);
}
