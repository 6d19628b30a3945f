import { KEYWORDS } from "../../language/grammar/generated/keywords.ts";
import type { Random } from "../solver/random.ts";
import type { Block, Statement } from "./statements.ts";

const COMMENTS = [
  "//",
  "// why: see the audit",
  "//no space",
  "//\ttabs\there",
  '// "quoted { brace } in a comment',
  "// steps { inflate all }",
  "// // twice",
  "// 5 mg, µg and – dashes",
];

/**
 * The statements as a hurried author may type them: odd spaces, blank lines, comments wherever one can
 * stand, lines broken inside a statement, several statements on a line, either kind of line end.
 */
export function untidyText(statements: readonly Statement[], random: Random): string {
  const writer = new UntidyWriter(random);
  const mark = random.oneIn(8) ? "\ufeff" : "";
  const text = mark + writer.statements(statements);
  const ended = random.oneIn(3) ? text.replace(/\s+$/, "") : text;
  return random.oneIn(4) ? ended.replaceAll("\n", "\r\n") : ended;
}

class UntidyWriter {
  private readonly random: Random;
  private previous = "";

  constructor(random: Random) {
    this.random = random;
  }

  statements(statements: readonly Statement[]): string {
    const parts = statements.map((statement) => this.separator() + this.statement(statement));
    return parts.join("") + this.separator();
  }

  private statement(statement: Statement): string {
    return statement.map((part, index) => (index === 0 ? "" : this.gap(part)) + this.part(part)).join("");
  }

  private part(part: string | Block): string {
    if (typeof part !== "string") {
      this.previous = "{";
      const inside = this.statements(part.block);
      this.previous = "}";
      return `{${inside}}`;
    }
    this.previous = part;
    const { random } = this;
    const space = /^\d[^ ]* \S+$/.test(part) && random.oneIn(3);
    return space ? part.replace(" ", random.pick(["", "  ", "\t", "\u00a0"])) : part;
  }

  /** What stands between two statements, before the first and after the last. */
  private separator(): string {
    const { random } = this;
    // After a bare number a word would be read as its unit.
    const mayShareLine = this.previous !== "" && !/^\d[\d.]*$/.test(this.previous);
    if (mayShareLine && random.oneIn(6)) return this.spaces();
    let text = this.previous !== "" && random.oneIn(6) ? `${this.maybeSpaces()}${this.comment()}` : "";
    do {
      text += `${this.maybeSpaces()}\n`;
      if (random.oneIn(8)) text += `${this.maybeSpaces()}${this.comment()}\n`;
    } while (random.oneIn(4));
    return text + this.maybeSpaces();
  }

  /** What stands before a token inside a statement. */
  private gap(next: string | Block): string {
    const { random } = this;
    const text = typeof next === "string" ? next : "{";
    if (random.oneIn(25) && this.mayStartLine(text)) {
      const comment = random.oneIn(3) ? `${this.maybeSpaces()}${this.comment()}` : "";
      return `${comment}\n${random.oneIn(4) ? "\n" : ""}${this.maybeSpaces()}`;
    }
    const close = /^[,.(){}=]$/;
    if (close.test(text) || close.test(this.previous)) return this.maybeSpaces();
    return this.spaces();
  }

  /** At the start of a line a word that is not the language's would be read as an unknown statement. */
  private mayStartLine(text: string): boolean {
    return !/^[A-Za-z_]/.test(text) || KEYWORDS.has(text);
  }

  private comment(): string {
    return this.random.pick(COMMENTS) + this.random.pick(["", "", " ", "\t"]);
  }

  private spaces(): string {
    return this.random.oneIn(4) ? this.random.pick(["  ", "     ", "\t", " \t "]) : " ";
  }

  private maybeSpaces(): string {
    return this.random.oneIn(2) ? "" : this.spaces();
  }
}
