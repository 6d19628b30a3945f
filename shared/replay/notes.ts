import type { Note, NoteKind } from "./deviation.ts";

/** So many lines are named; the count goes on. */
const MOST_LINES = 100;

/** Counts what was found about rows. */
export class Notes {
  readonly #found = new Map<NoteKind, { count: number; lines: number[] }>();

  add(kind: NoteKind, line: number): void {
    const found = this.#found.get(kind) ?? { count: 0, lines: [] };
    this.#found.set(kind, found);
    found.count += 1;
    if (found.lines.length < MOST_LINES) found.lines.push(line);
  }

  /** Adds what was counted elsewhere. */
  take({ kind, count, lines }: Note): void {
    for (const line of lines) this.add(kind, line);
    const found = this.#found.get(kind);
    if (found) found.count += count - lines.length;
  }

  all(): Note[] {
    return [...this.#found].map(([kind, { count, lines }]) => ({
      kind,
      count,
      lines: [...lines].sort((a, b) => a - b),
    }));
  }
}
