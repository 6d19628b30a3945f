import type { Origin, RunEvidence, RunLine } from "@limbwright/shared/finding";
import { keyOfStep } from "@limbwright/shared/runtime";
import { plainCharacters } from "@limbwright/shared/text";
import { type Paint, wrap } from "./terminal.ts";

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

/** A line of a run as it is told: one thing that happens, or several summed up. */
export interface ToldLine {
  readonly time: string;
  readonly what: string;
  readonly after: string;
  /** The places in the text that it leads to: one, or the first and the last of several. */
  readonly origins: readonly Origin[];
}

/** Every line of a run. */
export function allLines({ lines }: RunEvidence): ToldLine[] {
  return lines.map((line) => tellLine([line]));
}

/** A run of more lines than these is told in fewer, as far as its key lines allow. */
const MOST_LINES = 14;

/**
 * A run told shortly: a step that starts and ends in one instant is one line, and steps in a row that change
 * little are summed up: those before the injection where the run goes on after it; more where it would be too
 * long. Key lines are always told.
 */
export function tellRunShortly({ lines }: RunEvidence): ToldLine[] {
  const parts = joinLines(lines);
  const goesOn = (lines.at(-2)?.isInjected ?? false) && parts.some((part) => !part.isInjected);
  const ways: ((part: Part) => boolean)[] = [
    ({ isInjected, changes }) => !isInjected && (goesOn || !changes),
    ({ isInjected, changes }) => (!isInjected && goesOn) || !changes,
    () => true,
  ];
  const told = ways.map((isMinor) => sumUp(parts, (part) => !part.isKey && isMinor(part)));
  return told.find((one) => one.length <= MOST_LINES) ?? told.at(-1) ?? [];
}

/** A step of a run: its start, its end, both where they fall into one instant, or something else that happens. */
interface Part {
  readonly lines: readonly RunLine[];
  readonly isKey: boolean;
  readonly isInjected: boolean;
  readonly isStart: boolean;
  readonly changes: boolean;
}

/** The end of a step belongs to its start where nothing is between them; one that says nothing is not told by itself. */
function joinLines(lines: readonly RunLine[]): Part[] {
  const groups: RunLine[][] = [];
  for (const line of lines) {
    const [before, ...more] = groups.at(-1) ?? [];
    const saysNothing = line.kind === "end" && !line.isKey && line.after === "";
    const isItsEnd = before && more.length === 0 && isEndOf(line, before);
    if (isItsEnd && (saysNothing || line.seconds === before.seconds)) groups.at(-1)?.push(line);
    else if (!saysNothing) groups.push([line]);
  }
  return groups.map((group) => ({
    lines: group,
    isKey: group.some(({ isKey }) => isKey),
    isInjected: group.some(({ isInjected }) => isInjected),
    isStart: group[0]?.kind === "start",
    changes: group.some(({ after }) => after !== ""),
  }));
}

function isEndOf(end: RunLine, start: RunLine): boolean {
  const isSame = start.step && end.step && keyOfStep(start.step) === keyOfStep(end.step);
  return start.kind === "start" && end.kind === "end" && isSame === true;
}

/** Tells two or more minor steps in a row in one line. */
function sumUp(parts: readonly Part[], isMinor: (part: Part) => boolean): ToldLine[] {
  const told: ToldLine[] = [];
  let waiting: Part[] = [];
  const tellWaiting = () => {
    told.push(...summarise(waiting));
    waiting = [];
  };
  for (const part of parts) {
    if (isMinor(part)) {
      waiting.push(part);
    } else {
      tellWaiting();
      told.push(tellLine(part.lines));
    }
  }
  tellWaiting();
  return told;
}

/** "12 steps, apply cuffs to confirm no pulse", with what is so after them where they changed something. */
function summarise(parts: readonly Part[]): ToldLine[] {
  const steps = parts.flatMap(({ isStart, lines: [line] }) => (isStart && line ? [line] : []));
  const lines = parts.flatMap((part) => part.lines);
  const [first, last] = [lines[0], lines.at(-1)];
  const [from, to] = [steps[0], steps.at(-1)];
  if (steps.length < 2 || !first || !last || !from || !to) return parts.map((part) => tellLine(part.lines));
  const names = from.what === to.what ? from.what : `${from.what} to ${to.what}`;
  return [
    {
      time: first.time === last.time ? first.time : `${first.time} to ${last.time}`,
      what: `${steps.length} steps, ${names}`,
      after: parts.some(({ changes }) => changes) ? last.standing : "",
      origins: [from.origin, to.origin].filter((origin) => origin !== undefined),
    },
  ];
}

/** A step that ends in the instant it starts is told by its start, unless it is the end that matters. */
function tellLine(lines: readonly RunLine[]): ToldLine {
  const teller = lines.find(({ isKey }) => isKey) ?? lines[0];
  return {
    time: teller?.time ?? "",
    what: teller?.what ?? "",
    after: lines
      .map(({ after }) => after)
      .filter((after) => after !== "")
      .join(", "),
    origins: teller?.origin ? [teller.origin] : [],
  };
}
