/**
 * What an author may declare in any order, in an order that does not depend on it, nor on where it is
 * written.
 */
export function inOneOrder<T>(parts: readonly T[]): readonly T[] {
  if (parts.length < 2) return parts;
  return parts
    .map((part) => ({ part, key: JSON.stringify(part, meaningOf) }))
    .sort((a, b) => Number(a.key > b.key) - Number(a.key < b.key))
    .map(({ part }) => part);
}

/** Leaves out places in the text, and puts the members of an object in one order. */
function meaningOf(key: string, value: unknown): unknown {
  if (key === "origin" || key.endsWith("Origin")) return undefined;
  if (typeof value === "bigint") return value.toString();
  if (typeof value !== "object" || value === null || Array.isArray(value)) return value;
  return Object.fromEntries(Object.entries(value).sort(([a], [b]) => Number(a > b) - Number(a < b)));
}
