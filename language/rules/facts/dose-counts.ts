/** How often each dose is given in a run, by the dose's name; a dose that is left out is not given. */
export type DoseCounts = ReadonlyMap<string, number>;

/** Why counts cannot be given: there are too many, or there is no most. */
export interface Uncounted {
  readonly limit: string;
}

export function addCounts(a: DoseCounts, b: DoseCounts): DoseCounts {
  const result = new Map(a);
  for (const [dose, count] of b) result.set(dose, count + (a.get(dose) ?? 0));
  return result;
}

export function countOnce(dose: string): DoseCounts {
  return new Map([[dose, 1]]);
}

/** Whether the first gives nothing more often than the second. */
export function isWithin(counts: DoseCounts, other: DoseCounts): boolean {
  return [...counts].every(([dose, count]) => count <= (other.get(dose) ?? 0));
}

/** The greater count of each dose. */
export function greaterOfEach(a: DoseCounts, b: DoseCounts): DoseCounts {
  const result = new Map(a);
  for (const [dose, count] of b) result.set(dose, Math.max(count, a.get(dose) ?? 0));
  return result;
}

/** A text that is the same for equal counts and no others. */
export function countsKey(counts: DoseCounts): string {
  return JSON.stringify([...counts].sort());
}
