import { clockText } from "../quantity/index.ts";
import type { CaseRows } from "./case-rows.ts";
import type { NotJudged } from "./deviation.ts";
import type { ToldEvent } from "./known-events.ts";
import { inThousandths, type TimeKind } from "./written-time.ts";

/** The events of a case with comparable times, the first at 0, each once. */
export interface Timeline {
  readonly events: ToldEvent[];
  readonly at: readonly number[];
  readonly lines: number[];
  readonly notJudged: readonly NotJudged[];
}

const DAY = 86_400;
/** Between two events of a case no more than this passes; what is further apart was not timed by one clock that ran right. */
const LONGEST_GAP = 3 * 3600;

/** Puts what a record tells of a case into one order of time, and notes what was done for that. */
export function inOrder(rows: CaseRows): Timeline {
  const seconds = comparable(rows);
  if (typeof seconds === "string") {
    const notJudged: NotJudged = { because: "times-not-comparable", words: seconds, line: rows.line };
    return { events: [], at: [], lines: [], notJudged: [notJudged] };
  }
  if (rows.isPlain && (!rows.hasTies || areTiesInOrder(rows))) return asTheyStand(rows);
  const order = sorted(rows, seconds);
  const first = seconds[order[0] ?? 0] ?? 0;
  const events: ToldEvent[] = [];
  const at: number[] = [];
  const lines: number[] = [];
  const notJudged: NotJudged[] = [];
  for (let place = 0; place < order.length; place += 1) {
    const index = order[place] as number;
    const time = inThousandths((seconds[index] as number) - first);
    const line = rows.lines[index] as number;
    const before = at.at(-1) ?? 0;
    if (place > 0 && time - before > LONGEST_GAP) {
      notJudged.push(jump(rows, time - before, line));
      break;
    }
    const event = rows.events[index] as ToldEvent;
    if (place > 0 && time === before && isTold(event, time, events, at)) {
      rows.notes.add("duplicate", line);
      continue;
    }
    events.push(event);
    at.push(time);
    lines.push(line);
  }
  return { events, at, lines, notJudged };
}

/** Whether what has the same time stands in order already, each once. */
function areTiesInOrder({ seconds, events }: CaseRows): boolean {
  for (let place = 1; place < seconds.length; place += 1) {
    if (seconds[place] !== seconds[place - 1]) continue;
    if (byWhatIsTold(events[place - 1] as ToldEvent, events[place] as ToldEvent) >= 0) return false;
  }
  return true;
}

/** The same of a case in which nothing has to be put in order: most are. */
function asTheyStand(rows: CaseRows): Timeline {
  const { seconds } = rows;
  const [events, lines] = rows.hasTies
    ? [rows.events.slice(), rows.lines.slice()]
    : [rows.events, rows.lines];
  const first = seconds[0] ?? 0;
  const at: number[] = [];
  for (let place = 0; place < seconds.length; place += 1) {
    const time = inThousandths((seconds[place] as number) - first);
    const gap = place > 0 ? time - (at[place - 1] as number) : 0;
    if (gap > LONGEST_GAP) {
      return {
        events: events.slice(0, place),
        at,
        lines: lines.slice(0, place),
        notJudged: [jump(rows, gap, lines[place] as number)],
      };
    }
    at.push(time);
  }
  return { events, at, lines, notJudged: [] };
}

function jump({ notes }: CaseRows, by: number, line: number): NotJudged {
  notes.add("clock-jump", line);
  const words = `From line ${line} on the times are ${clockText(by)} later than before: what follows is not judged.`;
  return { because: "clock-jump", words, line };
}

/** Whether the same was told of the same time before. */
function isTold(
  event: ToldEvent,
  time: number,
  events: readonly ToldEvent[],
  at: readonly number[],
): boolean {
  for (let index = at.length - 1; index >= 0 && at[index] === time; index -= 1) {
    const told = events[index] as ToldEvent;
    if (told.kind === event.kind && told.key === event.key) return true;
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

function sorted(rows: CaseRows, seconds: readonly number[]): number[] {
  const { events, lines, notes } = rows;
  const order = seconds.map((_, index) => index);
  let latest = Number.NEGATIVE_INFINITY;
  for (const [index, time] of seconds.entries()) {
    if (time < latest) notes.add("out-of-order", lines[index] as number);
    latest = Math.max(latest, time);
  }
  return order.sort((a, b) => {
    const byTime = (seconds[a] as number) - (seconds[b] as number);
    if (byTime !== 0) return byTime;
    const byTold = byWhatIsTold(events[a] as ToldEvent, events[b] as ToldEvent);
    return byTold === 0 ? (lines[a] as number) - (lines[b] as number) : byTold;
  });
}

function byWhatIsTold(first: ToldEvent, second: ToldEvent): number {
  const byKind = RANK[first.kind] - RANK[second.kind];
  if (byKind !== 0 || first.key === second.key) return byKind;
  return first.key < second.key ? -1 : 1;
}

/** All times in seconds that can be compared; or why they cannot be. */
function comparable(rows: CaseRows): readonly number[] | string {
  const { seconds, begins, lines, notes } = rows;
  if (rows.isPlain) return seconds;
  const kinds = seconds.map((_, event) => rows.writtenAs(event).kind);
  const counts = { elapsed: 0, clock: 0, instant: 0 };
  for (const kind of kinds) counts[kind] += 1;
  const usual = Math.max(...Object.values(counts));
  for (const [index, kind] of kinds.entries()) {
    if (counts[kind] < usual) notes.add("mixed-times", lines[index] as number);
  }
  if (counts.elapsed === kinds.length) return seconds;
  if (counts.elapsed > 0 && !begins) {
    return "Some times count from the beginning of the case and others are times of day; no row `begin` says when the case began.";
  }
  return onOneClock(rows, kinds, counts.instant > 0 || begins?.kind === "instant");
}

/** Local seconds; times of day get the day that is nearest to an instant, or follow one another past midnight. */
function onOneClock(rows: CaseRows, kinds: readonly TimeKind[], hasInstant: boolean): number[] {
  const { seconds, begins, notes, lines } = rows;
  const firstInstant = kinds.indexOf("instant");
  const offset = (firstInstant < 0 ? begins?.offset : rows.writtenAs(firstInstant).offset) ?? 0;
  const instants = seconds.filter((_, index) => kinds[index] === "instant").map((time) => time + offset);
  if (begins?.kind === "instant") instants.push(begins.seconds + offset);
  const anchor = hasInstant ? Math.min(...instants) : undefined;
  const ofDay = seconds.filter((_, index) => kinds[index] === "clock");
  if (begins?.kind === "clock") ofDay.push(begins.seconds);
  const from = anchor === undefined ? afterLongestPause(ofDay) : undefined;
  const placed = (time: number) => {
    if (anchor !== undefined) return time + Math.round((anchor - time) / DAY) * DAY;
    return from !== undefined && time < from ? time + DAY : time;
  };
  const zero = begins && (begins.kind === "clock" ? placed(begins.seconds) : begins.seconds + offset);
  if (from !== undefined && ofDay.some((time) => time < from)) notes.add("clock-went-back", lines[0] ?? 0);
  return seconds.map((time, index) => {
    if (kinds[index] === "instant") return time + offset;
    return kinds[index] === "clock" ? placed(time) : time + (zero ?? 0);
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
