import { isComment, type Piece } from "./pieces.ts";
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

/** Distributes the pieces over lines, each with the level of its indentation. */
export function layOut(pieces: readonly Piece[], statements: Statements): Line[] {
  const layout = new Layout(statements);
  const ordered = bracesBeforeComments(pieces);
  const next = nextTokens(ordered);
  for (const [index, piece] of ordered.entries()) {
    if (isComment(piece)) layout.layComment(piece, next[index]);
    else layout.layToken(piece);
  }
  return layout.lines.map(withoutColumnsOfBlocks);
}

/** A brace that opens a block stands at its line's end, so a comment before it moves behind it. */
function bracesBeforeComments(pieces: readonly Piece[]): Piece[] {
  const ordered: Piece[] = [];
  let comments: Piece[] = [];
  for (const piece of pieces) {
    if (isComment(piece)) {
      comments.push(piece);
      continue;
    }
    if (piece.type === "{") ordered.push(piece, ...comments);
    else ordered.push(...comments, piece);
    comments = [];
  }
  return [...ordered, ...comments];
}

/** For each piece the first token after it. */
function nextTokens(pieces: readonly Piece[]): (Piece | undefined)[] {
  const next: (Piece | undefined)[] = [];
  let after: Piece | undefined;
  for (let index = pieces.length - 1; index >= 0; index--) {
    next[index] = after;
    const piece = pieces[index];
    if (piece && !isComment(piece)) after = piece;
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
  private lastToken: Piece | undefined;

  constructor(statements: Statements) {
    this.statements = statements;
  }

  /** A comment stays on the line of the token before it, or has a line like that of the token after it. */
  layComment(piece: Piece, next: Piece | undefined): void {
    const line = this.lines.at(-1);
    if (line && piece.breaksBefore === 0 && line.comment === undefined) {
      line.comment = piece.image;
      return;
    }
    const continues = next !== undefined && next.type !== "}" && !this.startsStatement(next);
    const level = continues ? this.statementLevel + 1 : this.innerLevel();
    this.startLine({ level, continues, cells: [], comment: piece.image }, piece);
  }

  layToken(piece: Piece): void {
    if (piece.type === "}") this.closeBlock(piece);
    else if (this.startsStatement(piece)) this.startStatement(piece);
    else this.goOn(piece);
    if (piece.type === "{") this.openBlock();
    this.lastToken = piece;
  }

  private startsStatement(piece: Piece): boolean {
    return this.lastToken?.type === "{" || this.statements.has(piece.offset);
  }

  private innerLevel(): number {
    const block = this.blocks.at(-1);
    return block ? block.level + 1 : 0;
  }

  private startStatement(piece: Piece): void {
    this.statementLevel = this.innerLevel();
    this.shape = this.statements.get(piece.offset);
    this.tokensOfStatement = 1;
    const columns = this.shape?.columns && { columns: this.shape.columns };
    const line = { level: this.statementLevel, continues: false, cells: [piece.image], ...columns };
    this.startLine(line, piece);
  }

  /** The next token of a statement: on its line, or on one more where the author broke it. */
  private goOn(piece: Piece): void {
    const line = this.lines.at(-1);
    const breaks = line?.comment !== undefined || (piece.breaksBefore > 0 && this.mayBreakBefore(piece));
    if (!line || breaks) {
      this.startLine({ level: this.statementLevel + 1, continues: true, cells: [piece.image] }, piece);
    } else if (!line.continues && this.shape?.columns?.starts.includes(this.tokensOfStatement)) {
      line.cells.push(piece.image);
    } else {
      this.append(line, piece);
    }
    this.tokensOfStatement++;
  }

  private mayBreakBefore(piece: Piece): boolean {
    if (this.shape?.isHeading || piece.type === "{" || NO_SPACE_BEFORE.has(piece.type)) return false;
    return !NO_SPACE_AFTER.has(this.lastToken?.type ?? "");
  }

  private append(line: OpenLine, piece: Piece): void {
    const close = NO_SPACE_BEFORE.has(piece.type) || NO_SPACE_AFTER.has(this.lastToken?.type ?? "");
    const last = line.cells.length - 1;
    line.cells[last] = `${line.cells[last] ?? ""}${close ? "" : " "}${piece.image}`;
  }

  private openBlock(): void {
    const line = this.lines.at(-1);
    if (!line) return;
    line.opensBlock = true;
    this.blocks.push({ level: line.level, statementLevel: this.statementLevel });
    this.shape = undefined;
  }

  private closeBlock(piece: Piece): void {
    const block = this.blocks.pop();
    const line = this.lines.at(-1);
    const isEmpty = this.lastToken?.type === "{" && line?.opensBlock && line.comment === undefined;
    if (isEmpty) this.append(line, piece);
    else this.startLine({ level: block?.level ?? 0, continues: false, cells: [piece.image] }, piece);
    this.statementLevel = block?.statementLevel ?? 0;
    this.shape = undefined;
  }

  /** One blank line stays where the author left some, but none inside a statement or at a block's edges. */
  private startLine(line: Omit<OpenLine, "blankBefore">, first: Piece): void {
    const above = this.lines.at(-1);
    const atEdge = above === undefined || above.opensBlock === true || first.type === "}";
    this.lines.push({ ...line, blankBefore: first.breaksBefore > 1 && !atEdge && !line.continues });
  }
}
