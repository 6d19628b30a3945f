import { AstUtils, GrammarAST } from "langium";
import { LimbGrammar } from "./generated/grammar.ts";

/** Every word of the language. A name cannot be one of them. */
export const KEYWORDS: ReadonlySet<string> = new Set(
  AstUtils.streamAllContents(LimbGrammar())
    .filter(GrammarAST.isKeyword)
    .map((keyword) => keyword.value)
    .filter((value) => /^[a-z]/.test(value)),
);
