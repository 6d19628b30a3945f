/** The values of every member of one name, however deep it stands inside a value. */
export function valuesIn(value: unknown, name: string): unknown[] {
  if (typeof value !== "object" || value === null) return [];
  return Object.entries(value).flatMap(([key, inner]) => [
    ...(key === name ? [inner] : []),
    ...valuesIn(inner, name),
  ]);
}
