import type { Note, NoteKind } from "./deviation.ts";

/** So many lines are named; the count goes on. */
const MOST_LINES = 100;

/** Counts what was found about rows. */
export class Notes {
  /** Made when there is something: of most cases there is nothing. */
  #found: Map<NoteKind, { count: number; lines: number[] }> | undefined;

  add(kind: NoteKind, line: number): void {
    this.#found ??= new Map();
    const found = this.#found.get(kind) ?? { count: 0, lines: [] };
    this.#found.set(kind, found);
    found.count += 1;
    if (found.lines.length < MOST_LINES) found.lines.push(line);
  }

  all(): Note[] {
    if (!this.#found) return [];
    return [...this.#found].map(([kind, { count, lines }]) => ({
      kind,
      count,
      lines: [...lines].sort((a, b) => a - b),
    }));
  }
}
