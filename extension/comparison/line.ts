/** A line of a version of a file, as the page names it. */
export interface Line {
  readonly side: "before" | "now";
  readonly file: string;
  readonly line: number;
}

/** What the page said, where it names a line; anything else is nothing to us. */
export function lineFrom(data: unknown): Line | undefined {
  if (typeof data !== "object" || data === null) return undefined;
  const { side, file, line } = data as Record<string, unknown>;
  const isLine = typeof line === "number" && Number.isInteger(line) && line > 0;
  if ((side !== "before" && side !== "now") || typeof file !== "string" || !isLine) return undefined;
  return { side, file, line };
}
