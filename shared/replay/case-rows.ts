import type { Patient } from "../rule-file/generated/rule-file.ts";
import type { Note, NoteKind } from "./deviation.ts";
import type { ToldEvent } from "./known-events.ts";
import type { WrittenTime } from "./written-time.ts";

/** Something written of a case that has no time of its own, and its line. */
export interface Written {
  readonly text: string;
  readonly line: number;
}

/** An event as it stands in the record. */
export interface EventRow {
  readonly event: ToldEvent;
  readonly time: WrittenTime;
  readonly line: number;
}

/** What a record tells of one case, as far as it is read. */
export class CaseRows {
  readonly id: string;
  readonly line: number;
  readonly events: EventRow[] = [];
  readonly measures: Readonly<Record<keyof Patient, Written[]>> = {
    weight: [],
    age: [],
    systolic: [],
    circumference: [],
  };
  readonly answers: Written[] = [];
  readonly doses: Written[] = [];
  readonly pressures: Written[] = [];
  readonly protocols: Written[] = [];
  /** When the case began, to which times since its beginning are added. */
  begins: WrittenTime | undefined;
  /** Lines that belong to the case and could not be read. */
  readonly unreadable: number[] = [];
  readonly notes = new Notes();

  constructor(id: string, line: number) {
    this.id = id;
    this.line = line;
  }
}

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
