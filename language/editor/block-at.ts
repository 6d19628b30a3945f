/** Where a cursor stands: in which blocks, and after which words of its line. */
export interface BlockAt {
  /** The first words of what opened the blocks around the cursor, the outermost first: "protocol", "steps", "by weight". */
  readonly blocks: readonly string[];
  /** The words of the statement before the word being typed. */
  readonly before: string;
  /** The word being typed, up to the cursor. */
  readonly typed: string;
  /** Whether the cursor stands in a comment or in quotes. */
  readonly isInText: boolean;
}

/** Reads only what stands before the cursor, by braces and lines, so that a broken text does not matter. */
export function blockAt(text: string, offset: number): BlockAt {
  const blocks: string[] = [];
  let statement = "";
  const pieces = /"(?:\\.|[^"\\\r\n])*"?|\/\/[^\r\n]*|[{}\r\n]|[^"{}\r\n/]+|\//g;
  let last = "";
  for (const [piece] of text.slice(0, offset).matchAll(pieces)) {
    last = piece;
    if (piece === "{") {
      blocks.push(headingOf(statement));
      statement = "";
    } else if (piece === "}") {
      blocks.pop();
      statement = "";
    } else if (piece === "\n" || piece === "\r") {
      statement = "";
    } else {
      statement += piece;
    }
  }
  const isOpenText = last.startsWith('"') && (last.length === 1 || !last.endsWith('"'));
  const typed = /[A-Za-z][\w-]*$/.exec(statement)?.[0] ?? "";
  return {
    blocks,
    before: statement.slice(0, statement.length - typed.length).trim(),
    typed,
    isInText: isOpenText || last.startsWith("//"),
  };
}

function headingOf(statement: string): string {
  const words = statement.trim().split(/\s+/);
  const band = /\bby (?:weight|age|systolic|circumference)$/.exec(statement.trim());
  return band ? "bands" : (words[0] ?? "");
}
