import type { Position, Range } from "vscode-languageserver-protocol";

export interface Marked {
  readonly text: string;
  readonly position: Position;
  readonly range: Range;
}

/** A text without its mark: `<|>` where the cursor stands, or `<|` and `|>` around a range. */
export function marked(textWithMark: string): Marked {
  const start = textWithMark.indexOf("<|");
  const point = textWithMark.startsWith("<|>", start);
  const end = point ? start : textWithMark.indexOf("|>") - 2;
  if (start < 0 || end < 0) throw new Error("the text has no mark");
  const text = point ? textWithMark.replace("<|>", "") : textWithMark.replace("<|", "").replace("|>", "");
  const range = { start: positionIn(text, start), end: positionIn(text, end) };
  return { text, position: range.start, range };
}

function positionIn(text: string, offset: number): Position {
  const lines = text.slice(0, offset).split("\n");
  return { line: lines.length - 1, character: lines.at(-1)?.length ?? 0 };
}

/** The words of a text in a range. */
export function wordsIn(text: string, { start, end }: Range): string {
  return text.slice(offsetIn(text, start), offsetIn(text, end));
}

/** A text after edits, which must not overlap. */
export function edited(text: string, edits: readonly { range: Range; newText: string }[]): string {
  return [...edits]
    .map((edit, index) => ({ ...edit, index }))
    .sort((a, b) => offsetIn(text, b.range.start) - offsetIn(text, a.range.start) || b.index - a.index)
    .reduce(
      (so, { range, newText }) =>
        so.slice(0, offsetIn(text, range.start)) + newText + so.slice(offsetIn(text, range.end)),
      text,
    );
}

function offsetIn(text: string, { line, character }: Position): number {
  const lines = text.split("\n").slice(0, line);
  return lines.reduce((sum, one) => sum + one.length + 1, 0) + character;
}
