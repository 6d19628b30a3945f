import type { Patient } from "../rule-file/generated/rule-file.ts";
import type { ToldEvent } from "./known-events.ts";
import { Notes } from "./notes.ts";
import { ownCopy } from "./own-copy.ts";
import type { TimeKind } from "./written-time.ts";

/** Something written of a case that has no time of its own, and its line. */
export interface Written {
  readonly text: string;
  readonly line: number;
}

/** What a record tells of one case, as far as it is read. Held in columns: a large file has many cases open. */
export class CaseRows {
  readonly id: string;
  /** Whether a table writes the name as it is, without quotes. */
  readonly hasPlainName: boolean;
  readonly line: number;
  readonly events: ToldEvent[] = [];
  readonly seconds: number[] = [];
  readonly kinds: TimeKind[] = [];
  readonly offsets: number[] = [];
  readonly lines: number[] = [];
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
  begins: { readonly kind: TimeKind; readonly seconds: number; readonly offset: number } | undefined;
  /** Lines that belong to the case and could not be read. */
  readonly unreadable: number[] = [];
  readonly notes = new Notes();
  /** Whether all times are written alike, in one zone, and none is before the one above it. */
  isPlain = true;
  /** Whether two times are the same; known only while the rows are plain. */
  hasTies = false;

  constructor(id: string, line: number) {
    this.id = ownCopy(id);
    this.hasPlainName = !/[",\n]/.test(id);
    this.line = line;
  }

  add(event: ToldEvent, kind: TimeKind, seconds: number, offset: number, line: number): void {
    const { length } = this.events;
    if (length > 0 && this.isPlain) {
      const before = this.seconds[length - 1] as number;
      this.hasTies ||= seconds === before;
      this.isPlain =
        seconds >= before && kind === this.kinds[length - 1] && offset === this.offsets[length - 1];
    }
    this.events.push(event);
    this.kinds.push(kind);
    this.seconds.push(seconds);
    this.offsets.push(offset);
    this.lines.push(line);
  }
}
