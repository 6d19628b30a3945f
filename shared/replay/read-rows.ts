import type { Patient } from "../rule-file/generated/rule-file.ts";
import { MEASURES } from "../runtime/patient.ts";
import { CaseRows, Notes, type Written } from "./case-rows.ts";
import { COLUMNS, type Header, headerOf, isIdentifying, plainColumn, RECORD_FORMAT } from "./columns.ts";
import type { NoteKind } from "./deviation.ts";
import { FINISH, type KnownEvents, type ToldEvent } from "./known-events.ts";
import { readTime, type WrittenTime } from "./written-time.ts";

/**
 * So many rows of cases that may still go on are held: few as long as cases come one after the other, which is quicker, and many
 * once one goes on after another began. When there are more, the case that was added to least lately is given away; what comes of it
 * after that came too late.
 */
const FEW_HELD = 1000;
const MOST_HELD = 50_000;

export interface RowReaderOptions {
  /** How the case of a record without a column `case` is called. */
  readonly name: string;
  /** Takes the rows of a case to which nothing more is added. */
  readonly onCase: (rows: CaseRows) => void;
  readonly mostHeld?: number;
}

/** What a row tells, as it is written. */
interface ToldRow {
  readonly kind: string;
  readonly value: string;
  readonly cuff: string;
  readonly time: string;
}

/** What was found about a record as a whole. */
export interface RecordSummary {
  readonly rows: number;
  readonly notes: ReturnType<Notes["all"]>;
  /** The names of columns that say who somebody is. */
  readonly identifying: readonly string[];
  /** The names of other columns that are not read. */
  readonly unread: readonly string[];
}

/** Reads the rows of one record, in whatever order they come, and gives each case away, to be judged, once its rows are there. */
export class RowReader {
  readonly notes = new Notes();
  readonly #events: KnownEvents;
  readonly #options: RowReaderOptions;
  readonly #open = new Map<string, CaseRows>();
  readonly #given = new Set<string>();
  readonly #identifying = new Set<string>();
  readonly #unread = new Set<string>();
  #header: Header | undefined;
  #latest: CaseRows | undefined;
  /** Lines that could not be read since a case was last added to. */
  #unplaced: number[] = [];
  #isLast = false;
  #held = 0;
  #most = FEW_HELD;
  #rows = 0;

  constructor(events: KnownEvents, options: RowReaderOptions) {
    this.#events = events;
    this.#options = options;
  }

  /**
   * One row of a table: the first is the header, and another one may follow where records were put together. `isLast` says that
   * the file ends in the row, without the end of its line: it may be cut off.
   */
  takeFields(fields: readonly string[], line: number, isLast = false): void {
    this.#isLast = isLast;
    const header = this.#header;
    if (!header || isHeader(fields, header)) this.#takeHeader(fields, line);
    else if (fields.length === header.width) this.#row(fields, header.at, line);
    else if (fields.length > 1 || fields[0] !== "") {
      this.noteUnread(isLast ? "cut-off-row" : "broken-row", line, fields[header.at.case ?? -1]);
    }
  }

  #row(fields: readonly string[], at: Header["at"], line: number): void {
    this.#rows += 1;
    const rows = this.#caseOf(at.case === undefined ? this.#options.name : (fields[at.case] as string), line);
    if (!rows) return;
    if (at.format !== undefined && !this.#isReadable(fields[at.format], rows, line)) return;
    if (this.#header?.hasMeasures) {
      for (const measure of MEASURES) this.#measure(rows, measure, fields[at[measure] ?? -1], line);
    }
    if (at.protocol !== undefined) this.#protocol(rows, fields[at.protocol], line);
    this.#take(rows, line, {
      kind: fields[at.event as number] as string,
      value: at.value === undefined ? "" : (fields[at.value] as string),
      cuff: at.cuff === undefined ? "" : (fields[at.cuff] as string),
      time: fields[at.time as number] as string,
    });
  }

  /** One row as an object; its event may be one of the published vocabulary as it stands there. */
  takeObject(row: Readonly<Record<string, unknown>>, line: number, isLast = false): void {
    this.#isLast = isLast;
    this.#rows += 1;
    const text = (name: string) => {
      const value = row[name];
      return typeof value === "string" ? value : typeof value === "number" ? String(value) : "";
    };
    for (const name of Object.keys(row)) this.#noteMember(name);
    const rows = this.#caseOf(row.case === undefined ? this.#options.name : text("case"), line);
    if (!rows || !this.#isReadable(row.format === undefined ? undefined : text("format"), rows, line)) return;
    for (const name of MEASURES) this.#measure(rows, name, text(name), line);
    this.#protocol(rows, text("protocol"), line);
    const { event } = row;
    const time = text("time");
    if (typeof event !== "object" || event === null) {
      this.#take(rows, line, { kind: text("event"), value: text("value"), cuff: text("cuff"), time });
      return;
    }
    const told = this.#events.findWhole(event);
    if (told) this.#takeHappening(rows, told, time, line);
    else this.#dropRow("unknown-event", rows, line);
  }

  /**
   * A line that cannot be read. If it does not even say of which case it is, it may be of the one before or the one after: both
   * are then not known in full.
   */
  noteUnread(kind: NoteKind, line: number, id?: string): void {
    this.notes.add(kind, line);
    const known = id === undefined ? undefined : this.#open.get(id);
    if (known) {
      known.unreadable.push(line);
      return;
    }
    this.#latest?.unreadable.push(line);
    this.#unplaced.push(line);
  }

  /** Gives away all cases that are still open. */
  end(): RecordSummary {
    for (const rows of this.#open.values()) this.#options.onCase(rows);
    this.#open.clear();
    return {
      rows: this.#rows,
      notes: this.notes.all(),
      identifying: [...this.#identifying],
      unread: [...this.#unread],
    };
  }

  #takeHeader(fields: readonly string[], line: number): void {
    const header = headerOf(fields);
    if (!header) {
      this.notes.add("broken-row", line);
      return;
    }
    if (this.#header) this.notes.add("new-header", line);
    for (const name of header.identifying) this.#identifying.add(name);
    for (const name of header.others) this.#unread.add(name);
    this.#header = header;
  }

  #noteMember(name: string): void {
    if (MEMBERS.has(name) || this.#identifying.has(name) || this.#unread.has(name)) return;
    (isIdentifying(name) ? this.#identifying : this.#unread).add(name);
  }

  #caseOf(id: string, line: number): CaseRows | undefined {
    const latest = this.#latest;
    if (latest !== undefined && latest.id === id) {
      if (this.#unplaced.length > 0) this.#unplaced = [];
      return latest;
    }
    if (id.trim() === "") {
      this.notes.add("no-case", line);
      return undefined;
    }
    if (this.#given.has(id)) {
      this.notes.add("came-late", line);
      return undefined;
    }
    let rows = this.#open.get(id);
    if (rows) {
      // The case that was added to least lately stands first.
      this.#open.delete(id);
      this.#most = this.#options.mostHeld ?? MOST_HELD;
    } else {
      rows = new CaseRows(id, line);
      this.#held += 1;
      if (this.#held > this.#most) this.#giveOldest();
    }
    this.#open.set(rows.id, rows);
    this.#latest = rows;
    rows.unreadable.push(...this.#unplaced);
    this.#unplaced = [];
    return rows;
  }

  #giveOldest(): void {
    const [oldest] = this.#open.values();
    if (!oldest) return;
    this.#open.delete(oldest.id);
    this.#given.add(oldest.id);
    this.#held -= oldest.events.length + 1;
    this.#options.onCase(oldest);
  }

  #isReadable(format: string | undefined, rows: CaseRows, line: number): boolean {
    if (format === undefined || format === "" || format === RECORD_FORMAT) return true;
    return this.#dropRow("other-format", rows, line);
  }

  #measure(rows: CaseRows, name: keyof Patient, text: string | undefined, line: number): void {
    const trimmed = text?.trim() ?? "";
    if (trimmed !== "") once(rows.measures[name], trimmed, line);
  }

  #protocol(rows: CaseRows, text: string | undefined, line: number): void {
    const trimmed = text?.trim() ?? "";
    if (trimmed !== "") once(rows.protocols, trimmed, line);
  }

  #take(rows: CaseRows, line: number, told: ToldRow): void {
    const { kind, value } = told;
    switch (kind) {
      case "start":
      case "end":
      case "event":
      case "answer":
      case "leak":
        this.#takeHappening(rows, this.#events.find(kind, withCuff(told)), told.time, line);
        break;
      case "weight":
      case "age":
      case "systolic":
      case "circumference":
        this.#measure(rows, kind, value, line);
        break;
      case "contraindication":
        rows.answers.push({ text: value, line });
        break;
      case "dose":
        once(rows.doses, value, line);
        break;
      case "pressure":
        once(rows.pressures, value, line);
        break;
      case "protocol":
        this.#protocol(rows, value, line);
        break;
      case "begin":
      case "finish":
        this.#edge(rows, kind, told.time, line);
        break;
      case "note":
        break;
      default:
        this.#takeOther(rows, told, line);
    }
  }

  /** The same kind in other letters; or one that says who somebody is; or one that is not known. */
  #takeOther(rows: CaseRows, told: ToldRow, line: number): void {
    const plain = plainColumn(told.kind);
    if (plain !== told.kind) this.#take(rows, line, { ...told, kind: plain });
    else if (isIdentifying(told.kind)) rows.notes.add("identifying", line);
    else this.#dropRow("unknown-event", rows, line);
  }

  #takeHappening(rows: CaseRows, event: ToldEvent, time: string, line: number): void {
    const at = this.#timeOf(rows, time, line);
    if (!at) return;
    if (this.#isLast && !event.isKnown) this.#dropRow("cut-off-row", rows, line);
    else this.#add(rows, event, at, line);
  }

  #edge(rows: CaseRows, kind: "begin" | "finish", time: string, line: number): void {
    const at = this.#timeOf(rows, time, line);
    if (!at) return;
    if (kind === "begin") rows.begins ??= at;
    else this.#add(rows, FINISH, at, line);
  }

  #timeOf(rows: CaseRows, text: string, line: number): WrittenTime | undefined {
    const time = readTime(text);
    if (!time) this.#dropRow("no-time", rows, line);
    return time;
  }

  #add(rows: CaseRows, event: ToldEvent, time: WrittenTime, line: number): void {
    this.#held += 1;
    rows.events.push({ event, time, line });
  }

  #dropRow(kind: NoteKind, rows: CaseRows, line: number): false {
    rows.notes.add(kind, line);
    rows.unreadable.push(line);
    return false;
  }
}

/** Whether a row is another header: where columns were told, their names are. */
function isHeader(fields: readonly string[], { at, width }: Header): boolean {
  const isNamed = (column: "time" | "event") => {
    const field = fields[at[column] as number] as string;
    return field.length === column.length && field.toLowerCase() === column;
  };
  return fields.length === width ? isNamed("event") && isNamed("time") : headerOf(fields) !== undefined;
}

function once(list: Written[], text: string, line: number): void {
  if (!list.some((one) => one.text === text)) list.push({ text, line });
}

const MEMBERS: ReadonlySet<string> = new Set(COLUMNS);

/** "inflate" with the cuff "distal" is `inflate distal`. */
function withCuff({ kind, value, cuff }: ToldRow): string {
  if (kind === "leak") return `${(cuff || value).trim().replace(/\s+loses pressure$/i, "")} loses pressure`;
  if (cuff === "" || value.includes(cuff)) return value;
  const [action = "", ...rest] = value.trim().split(/\s+/);
  return [action, cuff.trim(), ...rest].join(" ");
}
