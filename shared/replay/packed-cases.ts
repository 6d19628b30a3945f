import { CaseRows, type Written } from "./case-rows.ts";
import type { Note } from "./deviation.ts";
import { type KnownEvents, type ToldEvent, UNKNOWN } from "./known-events.ts";
import { TIME_KINDS, type TimeKind } from "./written-time.ts";

/**
 * The rows of cases as plain values that one thread can give to another: what there is much of, events and texts, stands in
 * columns over all cases, and an event that the protocol knows is its number.
 */
export interface PackedCases {
  readonly cases: readonly PackedCase[];
  readonly events: Int32Array<ArrayBuffer>;
  readonly unknown: readonly ToldEvent[];
  readonly kinds: Uint8Array<ArrayBuffer>;
  readonly seconds: Float64Array<ArrayBuffer>;
  readonly offsets: Int32Array<ArrayBuffer>;
  readonly lines: Int32Array<ArrayBuffer>;
  readonly texts: readonly string[];
  /** In which list of its case each text stands. */
  readonly lists: Uint8Array<ArrayBuffer>;
  readonly textLines: Int32Array<ArrayBuffer>;
}

interface PackedCase {
  readonly id: string;
  readonly line: number;
  readonly events: number;
  readonly texts: number;
  readonly begins: CaseRows["begins"];
  readonly unreadable: readonly number[];
  readonly notes: readonly Note[];
}

export function packed(cases: readonly CaseRows[]): PackedCases {
  const lists = cases.map(listsOf);
  const counts = lists.map((all) => all.reduce((sum, { length }) => sum + length, 0));
  return {
    cases: cases.map((rows, index) => ({
      id: rows.id,
      line: rows.line,
      events: rows.events.length,
      texts: counts[index] as number,
      begins: rows.begins,
      unreadable: rows.unreadable,
      notes: rows.notes.all(),
    })),
    ...packedEvents(cases),
    ...packedTexts(
      lists,
      counts.reduce((sum, count) => sum + count, 0),
    ),
  };
}

// Written as loops over the columns: a large record has a million events.
function packedEvents(cases: readonly CaseRows[]) {
  const count = cases.reduce((sum, { events }) => sum + events.length, 0);
  const events = new Int32Array(count);
  const kinds = new Uint8Array(count);
  const seconds = new Float64Array(count);
  const offsets = new Int32Array(count);
  const lines = new Int32Array(count);
  const unknown: ToldEvent[] = [];
  let at = 0;
  for (const rows of cases) {
    seconds.set(rows.seconds, at);
    lines.set(rows.lines, at);
    for (let index = 0; index < rows.events.length; index += 1) {
      const event = rows.events[index] as ToldEvent;
      if (event.number === UNKNOWN) unknown.push(event);
      events[at] = event.number;
      const { kind, offset } = rows.writtenAs(index);
      kinds[at] = TIME_KINDS.indexOf(kind);
      offsets[at] = offset;
      at += 1;
    }
  }
  return { events, kinds, seconds, offsets, lines, unknown };
}

function packedTexts(cases: readonly (readonly Written[][])[], count: number) {
  const texts: string[] = [];
  const listed = new Uint8Array(count);
  const textLines = new Int32Array(count);
  for (const lists of cases) {
    for (let list = 0; list < lists.length; list += 1) {
      for (const { text, line } of lists[list] ?? []) {
        listed[texts.length] = list;
        textLines[texts.length] = line;
        texts.push(text);
      }
    }
  }
  return { texts, lists: listed, textLines };
}

/** The same cases as they were packed. */
export function unpacked(from: PackedCases, known: KnownEvents): CaseRows[] {
  const unknown = from.unknown.values();
  let event = 0;
  let text = 0;
  return from.cases.map((one) => {
    const rows = new CaseRows(one.id, one.line);
    for (const end = event + one.events; event < end; event += 1) {
      const number = from.events[event] as number;
      rows.add(
        number === UNKNOWN ? (unknown.next().value as ToldEvent) : known.of(number),
        TIME_KINDS[from.kinds[event] as number] as TimeKind,
        from.seconds[event] as number,
        from.offsets[event] as number,
        from.lines[event] as number,
      );
    }
    const lists = listsOf(rows);
    for (const end = text + one.texts; text < end; text += 1) {
      const written = { text: from.texts[text] as string, line: from.textLines[text] as number };
      lists[from.lists[text] as number]?.push(written);
    }
    rows.begins = one.begins;
    rows.unreadable.push(...one.unreadable);
    for (const note of one.notes) rows.notes.take(note);
    return rows;
  });
}

/** The lists of what is written of a case, always in one order. */
function listsOf({ answers, doses, pressures, protocols, measures }: CaseRows): readonly Written[][] {
  const { weight, age, systolic, circumference } = measures;
  return [answers, doses, pressures, protocols, weight, age, systolic, circumference];
}
