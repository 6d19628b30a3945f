import { isAtLeast, type Severity } from "./finding.ts";

/** Whether a text is a day of the calendar, YYYY-MM-DD. */
export function isRealDate(text: string): boolean {
  const parts = /^(\d{4})-(\d{2})-(\d{2})$/.exec(text);
  if (!parts) return false;
  const [year, month, day] = parts.slice(1).map(Number) as [number, number, number];
  return day >= 1 && day <= daysIn(month, year);
}

/** How many months ahead an acceptance may end, of what is unsafe and of what is milder. */
export interface LongestMonths {
  readonly unsafe: number;
  readonly milder: number;
}

/** The most that anybody may accept for, a year and three; a hospital may set less. */
export const LONGEST_MONTHS: LongestMonths = { unsafe: 12, milder: 36 };

/** The last day, seen from the one that is judged on, to which a finding can be accepted. */
export function lastDayAllowed(severity: Severity, on: string, longest = LONGEST_MONTHS): string {
  return monthsAfter(on, isAtLeast(severity, "unsafe") ? longest.unsafe : longest.milder);
}

/** The same day a year later. */
export function aYearAfter(on: string): string {
  return monthsAfter(on, 12);
}

/** The same day so many months later, or the last of that month where it does not have the day. */
export function monthsAfter(on: string, months: number): string {
  const [year, month, day] = on.split("-").map(Number) as [number, number, number];
  const count = year * 12 + month - 1 + months;
  const [later, of] = [Math.floor(count / 12), (count % 12) + 1];
  const two = (number: number) => String(number).padStart(2, "0");
  return `${String(later).padStart(4, "0")}-${two(of)}-${two(Math.min(day, daysIn(of, later)))}`;
}

/** The last day of its month in the place of a day that the month does not have; nothing where the month itself is none. */
export function nearestRealDay(text: string): string | undefined {
  const [, year, month, day] = /^(\d{4})-(\d{2})-(\d{2})$/.exec(text) ?? [];
  if (year === undefined || month === undefined) return undefined;
  const last = daysIn(Number(month), Number(year));
  const isPast = last > 0 && Number(day) > last && Number(day) <= 31;
  return isPast ? `${year}-${month}-${last}` : undefined;
}

/** Whether an acceptance or an answer has not ended: its last day belongs to it. */
export function isInForce({ until }: { readonly until: string }, on: string): boolean {
  return until >= on;
}

/** The days of a month from 1; none of any other number. */
export function daysIn(month: number, year: number): number {
  const isLeapYear = (year % 4 === 0 && year % 100 !== 0) || year % 400 === 0;
  const days = [31, isLeapYear ? 29 : 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];
  return days[month - 1] ?? 0;
}

/** The day, YYYY-MM-DD, that comes so many days after another. */
export function daysAfter(from: string, count: number): string {
  let [year, month, day] = from.split("-").map(Number) as [number, number, number];
  day += count;
  while (day > daysIn(month, year)) {
    day -= daysIn(month, year);
    month = (month % 12) + 1;
    if (month === 1) year += 1;
  }
  const two = (number: number) => String(number).padStart(2, "0");
  return `${String(year).padStart(4, "0")}-${two(month)}-${two(day)}`;
}
