/** A place in a text. Lines and columns count from 1, columns in UTF-16 units; the offset counts from 0. */
export interface Place {
  readonly line: number;
  readonly column: number;
  readonly offset: number;
}

/** Where something is written: a file, relative to the workspace, and a range in it (its end excluded). */
export interface Origin {
  readonly file: string;
  readonly start: Place;
  readonly end: Place;
}

/** File order, then place order; for output that is the same on every run. */
export function compareOrigins(a: Origin, b: Origin): number {
  if (a.file !== b.file) return a.file < b.file ? -1 : 1;
  return a.start.offset - b.start.offset || a.end.offset - b.end.offset;
}
