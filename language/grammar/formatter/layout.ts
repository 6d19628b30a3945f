import { isComment, type Lexeme } from "./lexemes.ts";
import type { Columns, StatementShape, Statements } from "./statements.ts";

/** A line to print. */
export interface Line {
  readonly level: number;
  readonly blankBefore: boolean;
  /** Whether it goes on with the statement of the line above. */
  readonly continues: boolean;
  /** The tokens, joined: one cell a column, none on a line that is only a comment. */
  readonly cells: readonly string[];
  readonly comment?: string;
  /** Undefined where the line is not set in columns. */
  readonly columns?: Columns;
}

/** Distributes the lexemes over lines, each with the level of its indentation. */
export function layOut(lexemes: readonly Lexeme[], statements: Statements): Line[] {
  const layout = new Layout(statements);
  const ordered = bracesBeforeComments(lexemes);
  const next = nextTokens(ordered);
  for (const [index, lexeme] of ordered.entries()) {
    if (isComment(lexeme)) layout.layComment(lexeme, next[index]);
    else layout.layToken(lexeme);
  }
  return layout.lines.map(withoutColumnsOfBlocks);
}

/** A brace that opens a block stands at its line's end, so a comment before it moves behind it. */
function bracesBeforeComments(lexemes: readonly Lexeme[]): Lexeme[] {
  const ordered: Lexeme[] = [];
  let comments: Lexeme[] = [];
  for (const lexeme of lexemes) {
    if (isComment(lexeme)) {
      comments.push(lexeme);
      continue;
    }
    if (lexeme.type === "{") ordered.push(lexeme, ...comments);
    else ordered.push(...comments, lexeme);
    comments = [];
  }
  return [...ordered, ...comments];
}

/** For each lexeme the first token after it. */
function nextTokens(lexemes: readonly Lexeme[]): (Lexeme | undefined)[] {
  const next: (Lexeme | undefined)[] = [];
  let after: Lexeme | undefined;
  for (let index = lexemes.length - 1; index >= 0; index--) {
    next[index] = after;
    const lexeme = lexemes[index];
    if (lexeme && !isComment(lexeme)) after = lexeme;
  }
  return next;
}

interface OpenLine {
  readonly level: number;
  readonly blankBefore: boolean;
  readonly continues: boolean;
  readonly cells: string[];
  readonly columns?: Columns;
  comment?: string;
  opensBlock?: boolean;
}

/** A line whose braces hold others has its values where the block is, not in a column. */
function withoutColumnsOfBlocks(line: OpenLine): Line {
  if (!line.opensBlock) return line;
  const { columns: _columns, ...rest } = line;
  return { ...rest, cells: [line.cells.join(" ")] };
}

interface Block {
  /** The level of the line whose brace opened it: that of its closing brace. */
  readonly level: number;
  /** The level of the statement that the block belongs to, which may go on after it. */
  readonly statementLevel: number;
}

/** Marks that stand close to what is before them, or to what follows. */
const NO_SPACE_BEFORE = new Set([",", ".", ")"]);
const NO_SPACE_AFTER = new Set(["(", "."]);

class Layout {
  readonly lines: OpenLine[] = [];
  private readonly statements: Statements;
  private readonly blocks: Block[] = [];
  private statementLevel = 0;
  private shape: StatementShape | undefined;
  private tokensOfStatement = 0;
  private lastToken: Lexeme | undefined;

  constructor(statements: Statements) {
    this.statements = statements;
  }

  /** A comment stays on the line of the token before it, or has a line like that of the token after it. */
  layComment(lexeme: Lexeme, next: Lexeme | undefined): void {
    const line = this.lines.at(-1);
    if (line && lexeme.breaksBefore === 0 && line.comment === undefined) {
      line.comment = lexeme.image;
      return;
    }
    const continues = next !== undefined && next.type !== "}" && !this.startsStatement(next);
    const level = continues ? this.statementLevel + 1 : this.innerLevel();
    this.startLine({ level, continues, cells: [], comment: lexeme.image }, lexeme);
  }

  layToken(lexeme: Lexeme): void {
    if (lexeme.type === "}") this.closeBlock(lexeme);
    else if (this.startsStatement(lexeme)) this.startStatement(lexeme);
    else this.goOn(lexeme);
    if (lexeme.type === "{") this.openBlock();
    this.lastToken = lexeme;
  }

  private startsStatement(lexeme: Lexeme): boolean {
    return this.lastToken?.type === "{" || this.statements.has(lexeme.offset);
  }

  private innerLevel(): number {
    const block = this.blocks.at(-1);
    return block ? block.level + 1 : 0;
  }

  private startStatement(lexeme: Lexeme): void {
    this.statementLevel = this.innerLevel();
    this.shape = this.statements.get(lexeme.offset);
    this.tokensOfStatement = 1;
    const columns = this.shape?.columns && { columns: this.shape.columns };
    const line = { level: this.statementLevel, continues: false, cells: [lexeme.image], ...columns };
    this.startLine(line, lexeme);
  }

  /** The next token of a statement: on its line, or on one more where the author broke it. */
  private goOn(lexeme: Lexeme): void {
    const line = this.lines.at(-1);
    const breaks = line?.comment !== undefined || (lexeme.breaksBefore > 0 && this.mayBreakBefore(lexeme));
    if (!line || breaks) {
      this.startLine({ level: this.statementLevel + 1, continues: true, cells: [lexeme.image] }, lexeme);
    } else if (!line.continues && this.shape?.columns?.starts.includes(this.tokensOfStatement)) {
      line.cells.push(lexeme.image);
    } else {
      this.append(line, lexeme);
    }
    this.tokensOfStatement++;
  }

  private mayBreakBefore(lexeme: Lexeme): boolean {
    if (this.shape?.isHeading || lexeme.type === "{" || NO_SPACE_BEFORE.has(lexeme.type)) return false;
    return !NO_SPACE_AFTER.has(this.lastToken?.type ?? "");
  }

  private append(line: OpenLine, lexeme: Lexeme): void {
    const close = NO_SPACE_BEFORE.has(lexeme.type) || NO_SPACE_AFTER.has(this.lastToken?.type ?? "");
    const last = line.cells.length - 1;
    line.cells[last] = `${line.cells[last] ?? ""}${close ? "" : " "}${lexeme.image}`;
  }

  private openBlock(): void {
    const line = this.lines.at(-1);
    if (!line) return;
    line.opensBlock = true;
    this.blocks.push({ level: line.level, statementLevel: this.statementLevel });
    this.shape = undefined;
  }

  private closeBlock(lexeme: Lexeme): void {
    const block = this.blocks.pop();
    const line = this.lines.at(-1);
    const isEmpty = this.lastToken?.type === "{" && line?.opensBlock && line.comment === undefined;
    if (isEmpty) this.append(line, lexeme);
    else this.startLine({ level: block?.level ?? 0, continues: false, cells: [lexeme.image] }, lexeme);
    this.statementLevel = block?.statementLevel ?? 0;
    this.shape = undefined;
  }

  /** One blank line stays where the author left some, but none inside a statement or at a block's edges. */
  private startLine(line: Omit<OpenLine, "blankBefore">, first: Lexeme): void {
    const above = this.lines.at(-1);
    const atEdge = above === undefined || above.opensBlock === true || first.type === "}";
    this.lines.push({ ...line, blankBefore: first.breaksBefore > 1 && !atEdge && !line.continues });
  }
}
