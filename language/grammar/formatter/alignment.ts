import type { Line } from "./layout.ts";

const INDENT = "  ";

/** A cell wider than this does not widen its column, so that one long name does not push all values away. */
const WIDEST_CELL = 40;

/** The printed lines, without line ends, blank lines among them; neighbouring values stand in columns. */
export function textOfLines(lines: readonly Line[]): string[] {
  return groupsOf(lines).flatMap((group) => {
    const widths = widthsOf(group);
    return group.flatMap((line) =>
      line.blankBefore ? ["", printLine(line, widths)] : [printLine(line, widths)],
    );
  });
}

/** Neighbouring lines of one family and level. Comments and the rest of a long statement belong to them. */
function groupsOf(lines: readonly Line[]): Line[][] {
  const groups: Line[][] = [];
  let family: string | undefined;
  for (const line of lines) {
    const group = groups.at(-1);
    const own = line.columns?.family;
    const isBetween = line.continues || line.cells.length === 0;
    const belongs = group && !line.blankBefore && (isBetween || (own !== undefined && own === family));
    if (belongs) group.push(line);
    else groups.push([line]);
    if (!belongs || !isBetween) family = own;
  }
  return groups;
}

function widthsOf(group: readonly Line[]): number[] {
  const widths: number[] = [];
  for (const line of group) {
    if (!isAligned(line)) continue;
    for (const [index, cell] of line.cells.slice(0, -1).entries()) {
      widths[index] = Math.max(widths[index] ?? 0, cell.length);
    }
  }
  return widths;
}

function isAligned(line: Line): boolean {
  return line.columns !== undefined && line.cells.slice(0, -1).every((cell) => cell.length <= WIDEST_CELL);
}

function printLine(line: Line, widths: readonly number[]): string {
  const gap = " ".repeat(line.columns?.gap ?? 1);
  const last = line.cells.length - 1;
  const cells = line.cells.map((cell, index) =>
    index < last && isAligned(line) ? cell.padEnd(widths[index] ?? 0) : cell,
  );
  const code = cells.join(gap);
  const comment = line.comment === undefined ? "" : `${code === "" ? "" : "  "}${line.comment}`;
  return `${INDENT.repeat(line.level)}${code}${comment}`;
}
