import { KEYWORDS } from "../grammar/generated/keywords.ts";
import { TOKEN_PATTERNS, WORD } from "../grammar/tokens.ts";

/**
 * How the kinds of token look that are coloured without knowing the text, for editors that colour by regular expressions:
 * sources of expressions, to be tried in this order.
 */
export const COLOURED_PATTERNS: readonly {
  readonly kind: "comment" | "text" | "number" | "keyword" | "unread";
  readonly pattern: string;
}[] = [
  { kind: "comment", pattern: "//.*$" },
  ...(["GLUED", "DATE", "VERSION", "QUANTITY", "NUMBER", "STRING"] as const).map((token) => ({
    kind: kindOf(token),
    pattern: TOKEN_PATTERNS[token]?.source ?? "",
  })),
  // A word of the language is one where it stands alone, not in a name with hyphens.
  { kind: "keyword", pattern: `(?<![\\w-])(?:${[...KEYWORDS].sort().reverse().join("|")})(?![\\w-])` },
];

/** How a name looks: the source of an expression. */
export const NAME_PATTERN = WORD.source;

/** What is glued together is reported, and is neither a name nor a number. */
function kindOf(token: string): "text" | "number" | "unread" {
  if (token === "GLUED") return "unread";
  return token === "STRING" ? "text" : "number";
}
