export interface MadeRow {
  /** Seconds from the beginning of the case; missing for what has no time. */
  readonly time?: number;
  readonly event: string;
  readonly value: string;
}

export interface Planted {
  readonly kind: string;
  readonly what: string;
  /** In seconds. */
  readonly by?: number;
  /** A rule that is broken by it, at once or later. */
  readonly rule?: string;
}

export function randomFrom(seed: number): () => number;
export function madeCase(
  random: () => number,
  plants: readonly string[],
): { readonly rows: readonly MadeRow[]; readonly planted: readonly Planted[] };
export function chosenPlants(random: () => number, share?: number): string[];
