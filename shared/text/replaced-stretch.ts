/** The one stretch in which two texts differ, by offsets: what stands before it and behind it is the same in both. */
interface ReplacedStretch {
  readonly start: number;
  readonly endBefore: number;
  readonly endAfter: number;
}

/** What was typed between two texts, taken as one stretch that was replaced by another; empty where they are the same. */
export function findReplacedStretch(before: string, after: string): ReplacedStretch {
  const most = Math.min(before.length, after.length);
  let start = 0;
  while (start < most && before[start] === after[start]) start++;
  let end = 0;
  while (end < most - start && before[before.length - 1 - end] === after[after.length - 1 - end]) end++;
  return { start, endBefore: before.length - end, endAfter: after.length - end };
}
