import { clockText } from "../quantity/index.ts";
import type { CaseRows, EventRow } from "./case-rows.ts";
import type { CaseNotJudged } from "./deviation.ts";
import type { Told, ToldEvent } from "./known-events.ts";
import { dayAfter, inThousandths, type TimeKind } from "./written-time.ts";

/** The events of a case with comparable times, the first at 0, each once. */
export interface Timeline {
  readonly told: Told[];
  readonly notJudged: readonly CaseNotJudged[];
  /** The day on which the case began, by the calendar of the place, YYYY-MM-DD; undefined where none of its times has a date. */
  readonly day?: string;
}

const DAY = 86_400;
/** Between two events of a case no more than this passes; what is further apart was not timed by one clock that ran right. */
const LONGEST_GAP = 3 * 3600;

/** Puts what a record tells of a case into one order of time, and notes what was done for that. */
export function inOrder(rows: CaseRows): Timeline {
  const seconds = comparable(rows);
  if (typeof seconds === "string") {
    const notJudged: CaseNotJudged = { because: "times-not-comparable", words: seconds, line: rows.line };
    return { told: [], notJudged: [notJudged] };
  }
  const order = sortByTime(rows, seconds);
  const first = seconds[order[0] ?? 0] ?? 0;
  const day = dayOf(rows, rows.events[order[0] ?? 0], first);
  const dated = day === undefined ? {} : { day };
  const told: Told[] = [];
  for (const index of order) {
    const { event, line } = rows.events[index] as EventRow;
    const at = inThousandths((seconds[index] as number) - first);
    const gap = at - (told.at(-1)?.at ?? 0);
    if (gap > LONGEST_GAP) return { told, notJudged: [jump(rows, gap, line)], ...dated };
    if (isTold(event, at, told)) rows.notes.add("duplicate", line);
    else told.push({ event, at, line });
  }
  return { told, notJudged: [], ...dated };
}

/** `at` is the time of the first event, among the others. */
function dayOf({ events, begins }: CaseRows, first: EventRow | undefined, at: number): string | undefined {
  if (!first) return undefined;
  const { kind, seconds, offset } = first.time;
  if (kind === "instant") return dayAfter(seconds + offset);
  const beginning = begins?.kind === "instant" ? begins : undefined;
  if (events.every(({ time }) => time.kind === "elapsed")) {
    return beginning && dayAfter(beginning.seconds + beginning.offset + seconds);
  }
  // Beside an instant all times are those of one clock of the place.
  return beginning || events.some(({ time }) => time.kind === "instant") ? dayAfter(at) : undefined;
}

function jump({ notes }: CaseRows, by: number, line: number): CaseNotJudged {
  notes.add("clock-jump", line);
  const words = `From line ${line} on the times are ${clockText(by)} later than before: what follows is not judged.`;
  return { because: "clock-jump", words, line };
}

/** Whether the same was told of the same time before. */
function isTold({ kind, key }: ToldEvent, at: number, told: readonly Told[]): boolean {
  for (let index = told.length - 1; told[index]?.at === at; index -= 1) {
    const { event } = told[index] as Told;
    if (event.kind === kind && event.key === key) return true;
  }
  return false;
}

/** What comes first at one time: what ends, before what begins. */
const RANK: Readonly<Record<ToldEvent["kind"], number>> = {
  end: 0,
  answer: 1,
  event: 2,
  leak: 3,
  start: 4,
  finish: 5,
};

/** The places of the events in their order. */
function sortByTime({ events, notes }: CaseRows, seconds: readonly number[]): number[] {
  let latest = Number.NEGATIVE_INFINITY;
  for (const [index, { line }] of events.entries()) {
    const time = seconds[index] as number;
    if (time < latest) notes.add("out-of-order", line);
    latest = Math.max(latest, time);
  }
  return [...events.keys()].sort((a, b) => {
    const byTime = (seconds[a] as number) - (seconds[b] as number);
    if (byTime !== 0) return byTime;
    const [first, second] = [events[a] as EventRow, events[b] as EventRow];
    return byWhatIsTold(first.event, second.event) || first.line - second.line;
  });
}

function byWhatIsTold(first: ToldEvent, second: ToldEvent): number {
  const byKind = RANK[first.kind] - RANK[second.kind];
  if (byKind !== 0 || first.key === second.key) return byKind;
  return first.key < second.key ? -1 : 1;
}

/** All times in seconds that can be compared; or why they cannot be. */
function comparable(rows: CaseRows): readonly number[] | string {
  const { begins, events, notes } = rows;
  const seconds = events.map(({ time }) => time.seconds);
  if (areAlike(events)) return seconds;
  const counts = { elapsed: 0, clock: 0, instant: 0 };
  for (const { time } of events) counts[time.kind] += 1;
  const usual = Math.max(...Object.values(counts));
  for (const { time, line } of events) {
    if (counts[time.kind] < usual) notes.add("mixed-times", line);
  }
  if (counts.elapsed === events.length) return seconds;
  if (counts.elapsed > 0 && !begins) {
    return "Some times count from the beginning of the case and others are times of day; no row `begin` says when the case began.";
  }
  return onOneClock(rows, counts.instant > 0 || begins?.kind === "instant");
}

/** Whether all times are written alike, in one zone, and none is before the one above it: then they stand as they are. */
function areAlike(events: readonly EventRow[]): boolean {
  return events.every(({ time: { kind, offset, seconds } }, index) => {
    const before = events[index - 1]?.time;
    return (
      before === undefined || (kind === before.kind && offset === before.offset && seconds >= before.seconds)
    );
  });
}

/** Local seconds; times of day get the day that is nearest to an instant, or follow one another past midnight. */
function onOneClock({ events, begins, notes }: CaseRows, hasInstant: boolean): number[] {
  const secondsOf = (asked: TimeKind) =>
    times.filter(({ kind }) => kind === asked).map(({ seconds }) => seconds);
  const times = events.map(({ time }) => time);
  if (begins) times.push(begins);
  const offset = times.find(({ kind }) => kind === "instant")?.offset ?? 0;
  const anchor = hasInstant ? Math.min(...secondsOf("instant")) + offset : undefined;
  const ofDay = secondsOf("clock");
  const from = anchor === undefined ? afterLongestPause(ofDay) : undefined;
  const placeNearest = (time: number) => {
    if (anchor !== undefined) return time + Math.round((anchor - time) / DAY) * DAY;
    return from !== undefined && time < from ? time + DAY : time;
  };
  const zero = begins && (begins.kind === "clock" ? placeNearest(begins.seconds) : begins.seconds + offset);
  if (from !== undefined && ofDay.some((time) => time < from))
    notes.add("clock-went-back", events[0]?.line ?? 0);
  return events.map(({ time: { kind, seconds } }) => {
    if (kind === "instant") return seconds + offset;
    return kind === "clock" ? placeNearest(seconds) : seconds + (zero ?? 0);
  });
}

/** The time of day after the longest pause in the circle of a day: there a case that passes midnight begins. */
function afterLongestPause(times: readonly number[]): number {
  const inDay = [...new Set(times)].sort((a, b) => a - b);
  const [first = 0] = inDay;
  let longest = first + DAY - (inDay.at(-1) ?? first);
  let from = first;
  for (const [index, time] of inDay.entries()) {
    const pause = index === 0 ? 0 : time - (inDay[index - 1] as number);
    if (pause > longest) [longest, from] = [pause, time];
  }
  return from;
}
