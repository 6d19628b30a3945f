import { PROTOCOL_NAME } from "@limbwright/shared/editor";

/** What is wrong with a name for a protocol; undefined where nothing is. */
export function faultInName(written: string): string | undefined {
  if (PROTOCOL_NAME.test(written)) return undefined;
  return "Write it in lower case, with hyphens between words, such as wrist-reduction.";
}

/** What is wrong with a text that is to be a reason or a role; undefined where nothing is. */
export function faultInWords(written: string, what: "reason" | "role"): string | undefined {
  const words = written.replace(/["\s]+/g, " ").trim();
  if (words !== "") return undefined;
  return what === "reason"
    ? "A finding is accepted with a reason: write why it may stand."
    : "Write the role that decides, such as Pharmacy; no names.";
}

/** What is wrong with the last day of an acceptance; `today` is YYYY-MM-DD too. */
export function faultInDay(written: string, today: string): string | undefined {
  const day = written.trim();
  if (!/^\d{4}-\d{2}-\d{2}$/.test(day) || !isReal(day)) {
    return "Write the last day it holds as YYYY-MM-DD, such as 2027-01-31.";
  }
  return day < today ? `${day} is over already.` : undefined;
}

function isReal(day: string): boolean {
  const read = new Date(`${day}T00:00:00Z`);
  return !Number.isNaN(read.getTime()) && read.toISOString().startsWith(day);
}
