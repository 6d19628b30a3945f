import type { Patient } from "../rule-file/generated/rule-file.ts";
import { type PlainBytes, plainBytes } from "./bytes.ts";
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
  /** How a table writes the name where it stands without quotes, with the comma behind it; else nothing. */
  readonly written: PlainBytes | undefined;
  readonly line: number;
  readonly events: ToldEvent[] = [];
  readonly seconds: number[] = [];
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
  /** The ways in which times are written, each once; and, where there are several, which of them each time is. */
  readonly #written: WrittenTime[] = [];
  #which: number[] | undefined;
  /** Whether two times are the same; known only while the rows are plain. */
  hasTies = false;

  constructor(id: string, line: number) {
    this.id = ownCopy(id);
    this.written = /[",\n]/.test(id) ? undefined : plainBytes(`${id},`);
    this.line = line;
  }

  add(event: ToldEvent, kind: TimeKind, seconds: number, offset: number, line: number): void {
    const { length } = this.events;
    this.#note(kind, offset, length);
    if (length > 0 && this.isPlain) {
      const before = this.seconds[length - 1] as number;
      this.hasTies ||= seconds === before;
      this.isPlain = seconds >= before && this.#which === undefined;
    }
    this.events.push(event);
    this.seconds.push(seconds);
    this.lines.push(line);
  }

  /** How the time of an event is written. */
  writtenAs(event: number): WrittenTime {
    return this.#written[this.#which?.[event] ?? 0] as WrittenTime;
  }

  #note(kind: TimeKind, offset: number, event: number): void {
    const [first] = this.#written;
    if (first?.kind === kind && first.offset === offset) {
      this.#which?.push(0);
      return;
    }
    const known = this.#written.findIndex((one) => one.kind === kind && one.offset === offset);
    const which = known < 0 ? this.#written.push({ kind, offset }) - 1 : known;
    if (which === 0) return;
    this.#which ??= new Array<number>(event).fill(0);
    this.#which.push(which);
  }
}

/** What a time can be compared with, and of an instant how many seconds local time is ahead of UTC. */
export interface WrittenTime {
  readonly kind: TimeKind;
  readonly offset: number;
}
