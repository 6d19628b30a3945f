/** How a time was written, which decides what it can be compared with. */
export type TimeKind = "elapsed" | "clock" | "instant";

export interface WrittenTime {
  readonly kind: TimeKind;
  /** Since the beginning of the case, since midnight, or since 1970 in UTC. */
  readonly seconds: number;
  /** Of an instant: how many seconds local time is ahead of UTC. */
  readonly offset: number;
}

const DAY = 86_400;
const INSTANT =
  /^(\d{4})-(\d\d)-(\d\d)[Tt ](\d\d):(\d\d)(?::(\d\d(?:[.,]\d{1,9})?))?\s*(Z|z|[+-]\d\d:?\d\d)$/;
const CLOCK = /^(\d\d?):(\d\d):(\d\d(?:[.,]\d{1,9})?)$/;
const ELAPSED = /^(\d{1,4}):(\d\d(?:[.,]\d{1,9})?)$/;
const SECONDS = /^\d{1,9}(?:\.\d{1,9})?$/;

/** Reads a time: ISO 8601 with its zone; HH:MM:SS on a clock; M:SS or seconds from the beginning of the case. */
export function readTime(text: string): WrittenTime | undefined {
  const instant = INSTANT.exec(text);
  if (instant) return readInstant(instant);
  const clock = CLOCK.exec(text);
  if (clock) return readClock(clock);
  const elapsed = ELAPSED.exec(text);
  if (elapsed) {
    const [, minutes, written] = elapsed;
    const seconds = decimal(written);
    return seconds < 60 ? timeOf("elapsed", Number(minutes) * 60 + seconds) : undefined;
  }
  return SECONDS.test(text) ? timeOf("elapsed", Number(text)) : undefined;
}

function readInstant(match: RegExpExecArray): WrittenTime | undefined {
  const [, year, month, date, hours, minutes, written = "0", zone = "Z"] = match;
  const seconds = decimal(written);
  if (Number(hours) > 23 || Number(minutes) > 59 || seconds >= 61) return undefined;
  if (!isDate(Number(year), Number(month), Number(date))) return undefined;
  const days = daysBefore(Number(year), Number(month), Number(date));
  const offset = offsetOf(zone);
  return timeOf(
    "instant",
    days * DAY + Number(hours) * 3600 + Number(minutes) * 60 + seconds - offset,
    offset,
  );
}

function readClock([, hours, minutes, written]: RegExpExecArray): WrittenTime | undefined {
  const inMinute = decimal(written);
  const seconds = Number(hours) * 3600 + Number(minutes) * 60 + inMinute;
  const isOnClock = Number(minutes) < 60 && inMinute < 61 && seconds < DAY + 1;
  return isOnClock ? timeOf("clock", seconds) : undefined;
}

function timeOf(kind: TimeKind, seconds: number, offset = 0): WrittenTime {
  return { kind, seconds: inThousandths(seconds), offset };
}

/** Thousandths of a second are the finest that records tell. */
export function inThousandths(seconds: number): number {
  return Number.isInteger(seconds) ? seconds : Math.round(seconds * 1000) / 1000;
}

function isDate(year: number, month: number, date: number): boolean {
  return (
    month >= 1 &&
    month <= 12 &&
    date >= 1 &&
    date <= daysBefore(year, month + 1, 1) - daysBefore(year, month, 1)
  );
}

/** Days from 1970-01-01 to a day of the Gregorian calendar; a thirteenth month is the January after. */
function daysBefore(year: number, month: number, date: number): number {
  // Counted from March, so that a leap day is the last of its year.
  const monthFromMarch = (month + 9) % 12;
  const yearFromMarch = year + Math.floor((month - 3) / 12);
  const leapDays =
    Math.floor(yearFromMarch / 4) - Math.floor(yearFromMarch / 100) + Math.floor(yearFromMarch / 400);
  const inYear = Math.floor((153 * monthFromMarch + 2) / 5) + date - 1;
  return yearFromMarch * 365 + leapDays + inYear - 719_468;
}

/** The day of the Gregorian calendar so many seconds after the beginning of 1970, YYYY-MM-DD. */
export function dayAfter(seconds: number): string {
  const days = Math.floor(seconds / DAY) + 719_468;
  const era = Math.floor(days / 146_097);
  const inEra = days - era * 146_097;
  const yearOfEra = Math.floor(
    (inEra - Math.floor(inEra / 1460) + Math.floor(inEra / 36_524) - Math.floor(inEra / 146_096)) / 365,
  );
  const inYear = inEra - yearOfEra * 365 - Math.floor(yearOfEra / 4) + Math.floor(yearOfEra / 100);
  // Counted from March, as above.
  const monthFromMarch = Math.floor((5 * inYear + 2) / 153);
  const date = inYear - Math.floor((153 * monthFromMarch + 2) / 5) + 1;
  const month = monthFromMarch < 10 ? monthFromMarch + 3 : monthFromMarch - 9;
  const year = era * 400 + yearOfEra + (month < 3 ? 1 : 0);
  const digits = (number: number, count: number) => String(number).padStart(count, "0");
  return `${digits(year, 4)}-${digits(month, 2)}-${digits(date, 2)}`;
}

/** A number with a point or a comma before its fraction. */
function decimal(written = "0"): number {
  return Number(written.replace(",", "."));
}

function offsetOf(zone: string): number {
  if (zone === "Z" || zone === "z") return 0;
  const seconds = Number(zone.slice(1, 3)) * 3600 + Number(zone.slice(-2)) * 60;
  return zone.startsWith("-") ? -seconds : seconds;
}
