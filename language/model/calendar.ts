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
