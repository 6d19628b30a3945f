/** Where braces went wrong in a text, as its indentation tells. */
export interface BraceGuess {
  /** Blocks that were not closed. */
  readonly missing: readonly MissingBrace[];
  /** The offsets of closing braces that close nothing. */
  readonly tooMany: readonly number[];
}

export interface MissingBrace {
  /** A space or line break after the block's last token, one for each brace that is missing there. */
  readonly offset: number;
  /** The first line of the block, for the message: "patients {". */
  readonly heading: string;
  readonly headingLine: number;
  /** The first words that cannot be in the block any more. */
  readonly next: { readonly offset: number; readonly word: string };
}

/**
 * The braces that are missing or too many, where the indentation accounts for all of them. Undefined for a
 * text whose braces match, and for one whose indentation does not explain why they do not.
 */
export function guessBraces(text: string): BraceGuess | undefined {
  const lines = linesOf(text);
  const surplus = lines.reduce(
    (sum, { marks }) => sum + marks.reduce((of, { opens }) => of + (opens ? 1 : -1), 0),
    0,
  );
  if (surplus === 0) return undefined;
  const guess = new Guessing(lines).guess();
  if (!guess) return undefined;
  const { missing, tooMany } = guess;
  const explained = surplus > 0 ? tooMany.length === 0 : missing.length === 0;
  const haveRoom = missing.every(({ offset }) => /[ \t\r\n]/.test(text[offset] ?? ""));
  return explained && haveRoom && missing.length - tooMany.length === surplus ? guess : undefined;
}

interface Mark {
  readonly offset: number;
  readonly opens: boolean;
}

interface LineOfBraces {
  readonly number: number;
  readonly indent: number;
  /** The line without its indentation and without a comment at its end. */
  readonly code: string;
  /** The offset after the line's last token. */
  readonly end: number;
  readonly marks: readonly Mark[];
}

const LINES = /[^\r\n]*(?:\r\n|\r|\n|$)/g;
const TEXT_COMMENT_OR_BRACE = /"(?:\\.|[^"\\\r\n])*"|\/\/[^\r\n]*|[{}]/g;

/** The lines that hold more than a comment. */
function linesOf(text: string): LineOfBraces[] {
  const lines: LineOfBraces[] = [];
  let number = 0;
  for (const { index, 0: whole } of text.matchAll(LINES)) {
    number++;
    const found = [...whole.matchAll(TEXT_COMMENT_OR_BRACE)];
    const comment = found.find(([mark]) => mark.startsWith("//"));
    const kept = whole.slice(0, comment?.index).trimEnd();
    const code = kept.trimStart();
    if (code === "") continue;
    const marks = found.flatMap((mark) =>
      mark[0] === "{" || mark[0] === "}" ? [{ offset: index + mark.index, opens: mark[0] === "{" }] : [],
    );
    lines.push({ number, indent: kept.length - code.length, code, end: index + kept.length, marks });
  }
  return lines;
}

class Guessing {
  private readonly lines: readonly LineOfBraces[];
  private readonly open: LineOfBraces[] = [];
  private readonly missing: MissingBrace[] = [];
  private readonly tooMany: number[] = [];
  private lacksOpening = false;

  constructor(lines: readonly LineOfBraces[]) {
    this.lines = lines;
  }

  /** Undefined where an opening brace is missing or too many: the parser finds those by itself. */
  guess(): BraceGuess | undefined {
    for (const [index, line] of this.lines.entries()) {
      this.closeBlocksLeftOpen(line, this.lines[index - 1]);
      this.take(line, index);
    }
    const isOpening = this.lacksOpening || this.missing.some(({ heading }) => /(?:^|\{\s*)\{/.test(heading));
    return isOpening ? undefined : { missing: this.missing, tooMany: this.tooMany };
  }

  /** A line that stands no further in than a block's heading cannot be inside the block. */
  private closeBlocksLeftOpen(line: LineOfBraces, above: LineOfBraces | undefined): void {
    const closes = line.code.startsWith("}");
    for (let block = this.open.at(-1); block && above; block = this.open.at(-1)) {
      if (closes ? block.indent <= line.indent : block.indent < line.indent) return;
      this.open.pop();
      const already = this.missing.at(-1)?.offset ?? -1;
      const offset = Math.max(above.end, already + 1);
      const [word = line.code] = /^[\w-]+/.exec(line.code) ?? [line.code.slice(0, 1)];
      const next = { offset: line.end - line.code.length, word };
      this.missing.push({ offset, heading: block.code, headingLine: block.number, next });
    }
  }

  private take(line: LineOfBraces, index: number): void {
    const leading = /^[}\s]*/.exec(line.code)?.[0].replace(/\s/g, "").length ?? 0;
    for (const [at, mark] of line.marks.entries()) {
      const fits = at >= leading || this.open.at(-1)?.indent === line.indent;
      if (mark.opens) this.open.push(line);
      else if (fits) this.open.pop();
      else if (this.lacksItsOpening(index)) this.lacksOpening = true;
      else this.tooMany.push(mark.offset);
    }
  }

  /** Whether the lines above a closing brace stand further in, below one that does not open their block. */
  private lacksItsOpening(index: number): boolean {
    const indent = this.lines[index]?.indent ?? 0;
    for (let above = index - 1; above >= 0; above--) {
      const line = this.lines[above];
      if (!line || line.indent < indent) return false;
      if (line.indent === indent) return above < index - 1 && !line.code.endsWith("{");
    }
    return false;
  }
}
