import { InvalidArgumentError } from "commander";

/** A date given on the command line: YYYY-MM-DD, and in the calendar. */
export function dateArgument(written: string): string {
  const isDate = /^\d{4}-\d{2}-\d{2}$/.test(written);
  const day = new Date(`${written}T00:00:00Z`);
  if (isDate && !Number.isNaN(day.getTime()) && day.toISOString().startsWith(written)) return written;
  throw new InvalidArgumentError("Write a day of the calendar as YYYY-MM-DD, such as 2027-01-31.");
}
