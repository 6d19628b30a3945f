/** How a time was written, which decides what it can be compared with. */
export const TIME_KINDS = ["elapsed", "clock", "instant"] as const;
export type TimeKind = (typeof TIME_KINDS)[number];

/** A time as it was read. One object is used again and again: a record has a million of them. */
export interface ReadTime {
  kind: TimeKind;
  /** Since the beginning of the case, since midnight, or since 1970 in UTC. */
  seconds: number;
  /** Of an instant: how many seconds local time is ahead of UTC. */
  offset: number;
}

const DAY = 86_400;
const INSTANT = /^(\d{4}-\d\d-\d\d)[Tt ](\d\d):(\d\d)(?::(\d\d)(?:[.,](\d{1,9}))?)?\s*(Z|z|[+-]\d\d:?\d\d)$/;
const CLOCK = /^(\d\d?):(\d\d):(\d\d)(?:[.,](\d{1,9}))?$/;
const ELAPSED = /^(\d{1,4}):(\d\d)(?:[.,](\d{1,9}))?$/;
/** How long an instant in UTC is, to the second. */
export const PLAIN_INSTANT = 20;
/** What no bytes are. */
const NO_DAY = [-1, -1, -1] as const;
const [HYPHEN, ZERO, COLON, LETTER_T, LETTER_Z] = [45, 48, 58, 84, 90] as const;
const SECONDS = /^\d{1,9}(?:\.\d{1,9})?$/;

/**
 * Reads times: ISO 8601 with its zone; HH:MM:SS on a clock; M:SS or seconds from the beginning of the case. Keeps the last day
 * it saw, since records stay on one day for long.
 */
export class TimeReader {
  #day = "";
  #dayStarts = 0;
  /** The day that was read last as it is written, four characters, four and two, where it was read of bytes. */
  #dayWritten: readonly [number, number, number] = NO_DAY;
  readonly #codes = new DataView(new ArrayBuffer(PLAIN_INSTANT));

  /** Fills `into`; false where the text is no time. */
  read(text: string, into: ReadTime): boolean {
    if (text.length === PLAIN_INSTANT && this.readPlainInstant(this.#codesOf(text), 0, into)) return true;
    const isTime = this.#readOther(text, into);
    into.seconds = inThousandths(into.seconds);
    return isTime;
  }

  #readOther(text: string, into: ReadTime): boolean {
    const instant = INSTANT.exec(text);
    if (instant) return this.#readInstant(instant, into);
    const clock = CLOCK.exec(text);
    if (clock) return readClock(clock, into);
    into.kind = "elapsed";
    into.offset = 0;
    const elapsed = ELAPSED.exec(text);
    if (elapsed) {
      const [, minutes, seconds, fraction] = elapsed;
      into.seconds = Number(minutes) * 60 + Number(seconds) + part(fraction);
      return Number(seconds) < 60;
    }
    into.seconds = Number(text);
    return SECONDS.test(text);
  }

  /** "2026-03-01T09:12:30Z" at a place of some bytes, as most recorders write it, without a pattern. */
  readPlainInstant(piece: DataView, at: number, into: ReadTime): boolean {
    if (at + PLAIN_INSTANT > piece.byteLength) return false;
    if (piece.getUint8(at + 10) !== LETTER_T || piece.getUint8(at + 13) !== COLON) return false;
    if (piece.getUint8(at + 16) !== COLON || piece.getUint8(at + 19) !== LETTER_Z) return false;
    const hours = twoDigits(piece, at + 11);
    const minutes = twoDigits(piece, at + 14);
    const seconds = twoDigits(piece, at + 17);
    if (!(hours < 24 && minutes < 60 && seconds < 61)) return false;
    if (!this.#isDayAt(piece, at) && !this.#setDayAt(piece, at)) return false;
    into.kind = "instant";
    into.offset = 0;
    into.seconds = this.#dayStarts + hours * 3600 + minutes * 60 + seconds;
    return true;
  }

  #codesOf(text: string): DataView {
    for (let at = 0; at < PLAIN_INSTANT; at += 1) {
      const code = text.charCodeAt(at);
      this.#codes.setUint8(at, code < 128 ? code : 0);
    }
    return this.#codes;
  }

  #readInstant(match: RegExpExecArray, into: ReadTime): boolean {
    const [, day = "", hours, minutes, seconds = "0", fraction, zone = "Z"] = match;
    if (day !== this.#day && !this.#setDay(day)) return false;
    if (Number(hours) > 23 || Number(minutes) > 59 || Number(seconds) > 60) return false;
    into.kind = "instant";
    into.offset = offsetOf(zone);
    into.seconds =
      this.#dayStarts +
      Number(hours) * 3600 +
      Number(minutes) * 60 +
      Number(seconds) +
      part(fraction) -
      into.offset;
    return true;
  }

  #setDay(day: string): boolean {
    const [year = 0, month = 0, date = 0] = day.split("-").map(Number);
    if (!this.#setDate(year, month, date)) return false;
    this.#day = day;
    this.#dayWritten = NO_DAY;
    return true;
  }

  #isDayAt(piece: DataView, at: number): boolean {
    const written = this.#dayWritten;
    return (
      piece.getUint32(at) === written[0] &&
      piece.getUint32(at + 4) === written[1] &&
      piece.getUint16(at + 8) === written[2]
    );
  }

  #setDayAt(piece: DataView, at: number): boolean {
    if (piece.getUint8(at + 4) !== HYPHEN || piece.getUint8(at + 7) !== HYPHEN) return false;
    const year = twoDigits(piece, at) * 100 + twoDigits(piece, at + 2);
    if (!this.#setDate(year, twoDigits(piece, at + 5), twoDigits(piece, at + 8))) return false;
    this.#day = "";
    this.#dayWritten = [piece.getUint32(at), piece.getUint32(at + 4), piece.getUint16(at + 8)];
    return true;
  }

  #setDate(year: number, month: number, date: number): boolean {
    if (!isDate(year, month, date)) return false;
    this.#dayStarts = daysBefore(year, month, date) * DAY;
    return true;
  }
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

function readClock(match: RegExpExecArray, into: ReadTime): boolean {
  const [, hours, minutes, seconds, fraction] = match;
  into.kind = "clock";
  into.offset = 0;
  into.seconds = Number(hours) * 3600 + Number(minutes) * 60 + Number(seconds) + part(fraction);
  return Number(minutes) < 60 && Number(seconds) < 61 && into.seconds < DAY + 1;
}

function twoDigits(piece: DataView, at: number): number {
  const tens = piece.getUint8(at) - ZERO;
  const ones = piece.getUint8(at + 1) - ZERO;
  return tens >= 0 && tens <= 9 && ones >= 0 && ones <= 9 ? tens * 10 + ones : Number.NaN;
}

function part(fraction: string | undefined): number {
  return fraction === undefined ? 0 : Number(`0.${fraction}`);
}

function offsetOf(zone: string): number {
  if (zone === "Z" || zone === "z") return 0;
  const seconds = Number(zone.slice(1, 3)) * 3600 + Number(zone.slice(-2)) * 60;
  return zone.startsWith("-") ? -seconds : seconds;
}
