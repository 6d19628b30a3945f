import type { Origin } from "@limbwright/shared/finding";
import type { Position, Range } from "vscode-languageserver";

/** Where a place of a text is, as the protocol between editor and server counts: lines and characters from 0. */
export function rangeOf({ start, end }: Origin): Range {
  return { start: positionOf(start), end: positionOf(end) };
}

export function positionOf({ line, column }: { readonly line: number; readonly column: number }): Position {
  return { line: line - 1, character: column - 1 };
}

/** Whether two ranges share a place; an empty one shares the place where it stands. */
export function overlaps(a: Range, b: Range): boolean {
  return !isBefore(a.end, b.start) && !isBefore(b.end, a.start);
}

function isBefore(a: Position, b: Position): boolean {
  return a.line < b.line || (a.line === b.line && a.character < b.character);
}
