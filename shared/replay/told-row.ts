/** What a row tells, as it is written. */
export interface ToldRow {
  readonly kind: string;
  readonly value: string;
  readonly cuff: string;
  readonly time: string;
}

/** The kinds of rows. */
export const KINDS = new Set([
  ...["start", "end", "event", "answer", "leak", "weight", "age", "systolic", "circumference"],
  ...["contraindication", "dose", "pressure", "protocol", "begin", "finish", "note"],
]);

/** "inflate" with the cuff "distal" is `inflate distal`. */
export function withCuff(kind: string, value: string, cuff: string): string {
  if (kind === "leak") return `${(cuff || value).trim().replace(/\s+loses pressure$/i, "")} loses pressure`;
  if (cuff === "" || value.includes(cuff)) return value;
  const [action = "", ...rest] = value.trim().split(/\s+/);
  return [action, cuff.trim(), ...rest].join(" ");
}
