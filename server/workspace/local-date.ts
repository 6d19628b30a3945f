/** The date where the user is, not in Greenwich. */
export function localDate(now: Date): string {
  const two = (value: number) => String(value).padStart(2, "0");
  return `${String(now.getFullYear()).padStart(4, "0")}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
}

/** The day a year later; of a leap day, the last of February. */
export function yearAfter(today: string): string {
  const year = String(Number(today.slice(0, 4)) + 1).padStart(4, "0");
  return `${year}${today.slice(4) === "-02-29" ? "-02-28" : today.slice(4)}`;
}
