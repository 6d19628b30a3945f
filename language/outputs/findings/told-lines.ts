import type { Origin, RunEvidence, RunLine } from "@limbwright/shared/finding";
import { keyOfStep } from "@limbwright/shared/runtime";

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
