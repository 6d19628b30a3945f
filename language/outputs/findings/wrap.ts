/**
 * Breaks a text into lines of at most `width` characters. Words in backticks stay whole where they fit.
 * The first line starts with `first`, the others with as many spaces.
 */
export function wrap(text: string, width: number, first = ""): string[] {
  const indent = " ".repeat(first.length);
  const lines: string[] = [];
  let line = first;
  let isEmpty = true;
  for (const word of piecesOf(text, width - first.length)) {
    if (!isEmpty && line.length + 1 + word.length > width) {
      lines.push(line);
      line = indent;
      isEmpty = true;
    }
    line += isEmpty ? word : ` ${word}`;
    isEmpty = false;
  }
  return isEmpty && lines.length > 0 ? lines : [...lines, line.trimEnd()];
}

/** Words; what stands between backticks counts as one, with the mark that follows it, unless it fills a line. */
function piecesOf(text: string, width: number): string[] {
  const pieces = text.match(/(?:`[^`]*`|[^\s`])+|`/g) ?? [];
  return pieces.flatMap((piece) => (piece.length > width ? piece.split(/\s+/) : [piece]));
}
