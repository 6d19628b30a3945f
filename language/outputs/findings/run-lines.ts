import type { Origin, RunEvidence } from "@limbwright/shared/finding";
import { plainCharacters } from "@limbwright/shared/text";
import type { Paint } from "./paint.ts";
import { allLines, type ToldLine, tellRunShortly } from "./told-lines.ts";
import { wrap } from "./wrap.ts";

export interface RunLayout {
  readonly width: number;
  readonly paint: Paint;
  /** Every line of the run; undefined where the reader has no way to ask for them. */
  readonly verbose?: boolean;
  /** What stands above the run; "One run that leads here" if not said. */
  readonly heading?: string;
}

const INDENT = "    ";
const GAP = 3;
const LONGEST_PLACE = 24;

/**
 * A run as lines, each with its time, what happens, what is so then, and at the right edge the place in the text; a line
 * of another file than `file` is named with it.
 */
export function runLines(run: RunEvidence, file: string, layout: RunLayout): string[] {
  const told = layout.verbose ? allLines(run) : tellRunShortly(run);
  const more =
    layout.verbose === false && told.length < run.lines.length ? " (line by line with --verbose)" : "";
  const rows = told.map((line) => rowOf(line, file));
  const columns = columnsOf(rows, layout.width);
  return [
    `  ${layout.heading ?? "One run that leads here"}${more}:`,
    ...rows.flatMap((row) => rowLines(row, columns, layout.paint)),
  ];
}

interface Row {
  readonly time: string;
  readonly what: string;
  readonly after: string;
  readonly place: string;
}

function rowOf({ time, what, after, origins }: ToldLine, file: string): Row {
  return { time, what: plainCharacters(what), after, place: cut(plainCharacters(placeInRun(origins, file))) };
}

/** A place that would leave no room for the run is cut; its end tells the line. */
function cut(place: string): string {
  return place.length > LONGEST_PLACE ? `…${place.slice(1 - LONGEST_PLACE)}` : place;
}

/** "line 32", "lines 48 to 60", "routines.limb:12"; nothing where several files belong to one line. */
export function placeInRun(origins: readonly Origin[], file: string): string {
  const [first, last = first] = origins;
  if (!first || !last || first.file !== last.file) return "";
  const [from, to] = [first.start.line, last.start.line].sort((a, b) => a - b);
  if (first.file !== file) return `${first.file}:${from}`;
  return from === to ? `line ${from}` : `lines ${from} to ${to}`;
}

/** Where the columns stand, in characters from the left. */
interface Columns {
  /** The end of the times. */
  readonly time: number;
  readonly what: number;
  readonly after: number;
  /** The right edge, at which places end. */
  readonly width: number;
}

function columnsOf(rows: readonly Row[], width: number): Columns {
  const longest = (lengths: readonly number[]) => Math.max(0, ...lengths);
  const time = INDENT.length + longest(rows.map((row) => row.time.length));
  const what = time + 2;
  const most = Math.floor((width - what) / 2) - GAP;
  const beside = rows.filter((row) => row.after !== "" && row.what.length <= most);
  const after = what + GAP + longest(beside.map((row) => row.what.length));
  return { time, what, after, width };
}

function rowLines(row: Row, columns: Columns, { faint }: Paint): string[] {
  const { time, place } = row;
  return sayRow(row, columns).map((line, at) => {
    const shownTime = (at === 0 ? time : "").padStart(columns.time).padEnd(columns.what);
    if (at > 0 || place === "") return `${shownTime}${line}`.trimEnd();
    const gap = columns.width - columns.what - line.length - place.length;
    return `${faint(shownTime)}${line}${" ".repeat(gap)}${faint(place)}`;
  });
}

/** What happens and what is so then: side by side where both fit, else one below the other. */
function sayRow({ what, after, place }: Row, columns: Columns): string[] {
  const offset = columns.after - columns.what;
  const room = columns.width - columns.what - GAP - place.length;
  if (after === "") return wrap(what, room);
  if (what.length <= offset - GAP) {
    const [first = "", ...others] = wrap(after, room - offset);
    return [`${what.padEnd(offset)}${first}`, ...others.map((line) => `${" ".repeat(offset)}${line}`)];
  }
  const oneLine = `${what}${" ".repeat(GAP)}${after}`;
  if (oneLine.length <= room) return [oneLine];
  return [...wrap(what, room), ...wrap(after, room - GAP).map((line) => `${" ".repeat(GAP)}${line}`)];
}
