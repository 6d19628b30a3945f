import { isAtLeast, type Severity } from "./finding.ts";

/** Whether a text is a day of the calendar, YYYY-MM-DD. */
export function isRealDate(text: string): boolean {
  const parts = /^(\d{4})-(\d{2})-(\d{2})$/.exec(text);
  if (!parts) return false;
  const [year, month, day] = parts.slice(1).map(Number) as [number, number, number];
  return day >= 1 && day <= daysIn(month, year);
}

/** How many years ahead an acceptance may end, of what is unsafe and of what is milder. */
export const LONGEST_YEARS = { unsafe: 1, milder: 3 } as const;

/** The last day, seen from the one that is judged on, to which a finding can be accepted. */
export function lastDayAllowed(severity: Severity, on: string): string {
  const years = isAtLeast(severity, "unsafe") ? LONGEST_YEARS.unsafe : LONGEST_YEARS.milder;
  return yearsAfter(on, years);
}

/** The same day a year later. */
export function aYearAfter(on: string): string {
  return yearsAfter(on, 1);
}

/** The same day some years later; the 28th where the 29th of February is none. */
export function yearsAfter(on: string, years: number): string {
  const later = `${Number(on.slice(0, 4)) + years}${on.slice(4)}`;
  return later.endsWith("-02-29") ? later.replace("-29", "-28") : later;
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
