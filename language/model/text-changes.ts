import type { Origin, Repair, TextChange } from "@limbwright/shared/finding";

/** Lines of their own before a statement, indented as it is. */
export function linesBefore({ file, start }: Origin, lines: readonly string[]): TextChange {
  const indent = " ".repeat(start.column - 1);
  return { origin: { file, start, end: start }, text: lines.map((line) => `${line}\n${indent}`).join("") };
}

/** Lines in the place of a statement, indented as it is. */
export function linesInstead(origin: Origin, lines: readonly string[]): TextChange {
  return { origin, text: lines.join(`\n${" ".repeat(origin.start.column - 1)}`) };
}

/** A line of its own after a statement without a block, indented as it is. */
export function lineAfter(statement: Origin, line: string): TextChange {
  return lineBehind(statement, statement.start.column - 1, line);
}

/** A line of its own in a block, behind what ends one of its lines; `heading` is the block's, which tells its indent. */
export function lineInside(heading: Origin, last: Origin, line: string): TextChange {
  return lineBehind(last, heading.start.column + 1, line);
}

function lineBehind({ file, end }: Origin, indent: number, line: string): TextChange {
  return { origin: { file, start: end, end }, text: `\n${" ".repeat(indent)}${line}` };
}

/** Words behind what is written at a place, on its line. */
export function wordsAfter({ file, end }: Origin, words: string): TextChange {
  return { origin: { file, start: end, end }, text: ` ${words}` };
}

/** A repair that changes what the protocol means: an author has to agree. */
export function needsALook(title: string, ...changes: readonly TextChange[]): Repair[] {
  return [{ title, safety: "needs-a-look", changes }];
}

/** The repair that writes lines before a statement. */
export function insertBefore(origin: Origin, ...lines: readonly string[]): Repair[] {
  return needsALook(`Write ${lines.join(", ")} before it`, linesBefore(origin, lines));
}

/** The repair that takes a statement out. */
export function removeStatement(origin: Origin, what: string): Repair[] {
  return needsALook(`Remove ${what}`, { origin, text: "" });
}

/** The repair that writes other words in the place of some; an author has to agree unless it is safe. */
export function writeInstead(
  origin: Origin,
  text: string,
  safety: Repair["safety"] = "needs-a-look",
): Repair[] {
  return [{ title: `Write ${text}`, safety, changes: [{ origin, text }] }];
}
