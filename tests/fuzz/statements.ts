/** A block in braces, with a statement a line. */
export interface Block {
  readonly block: readonly Statement[];
}

/**
 * A statement as its tokens: words, names, texts in quotes, numbers with their units ("3 mg/kg"), marks,
 * and blocks.
 */
export type Statement = readonly (string | Block)[];

export function block(...statements: readonly Statement[]): Block {
  return { block: statements };
}

/** A text in quotes. */
export function quoted(text: string): string {
  return `"${text}"`;
}

/** The statements in a plain layout: a line each, two spaces a level. Not that of the formatter: no columns. */
export function plainText(statements: readonly Statement[], level = 0): string {
  return statements.map((statement) => `${"  ".repeat(level)}${plainLine(statement, level)}\n`).join("");
}

function plainLine(statement: Statement, level: number): string {
  return statement
    .map((part) =>
      typeof part === "string" ? part : `{\n${plainText(part.block, level + 1)}${"  ".repeat(level)}}`,
    )
    .join(" ");
}
