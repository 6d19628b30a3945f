import type { IToken } from "chevrotain";
import { createLangiumParser, type LangiumCoreServices, type LangiumParser } from "langium";

/** The part of Langium's builder of syntax trees that puts comments between the tokens. */
interface CommentPlacing {
  addHiddenNodes(tokens: readonly IToken[]): void;
}

/**
 * Rules within rules, where the deepest tree that is read takes some 400. At some 550 the stack overflows, and what Langium does on
 * the way out then fails for another reason, which nobody can tell from a fault.
 */
const DEEPEST_RULE = 450;

/**
 * Langium's parser, which looks for a place for the comments before every token, also where there are
 * none, and in a long block looks long. Where there are none this does nothing. A text that is nested too deep is a `RangeError`.
 */
export function createQuickParser(services: LangiumCoreServices): LangiumParser {
  const parser = createLangiumParser(services);
  const { nodeBuilder } = parser as unknown as { readonly nodeBuilder: CommentPlacing };
  const place = nodeBuilder.addHiddenNodes.bind(nodeBuilder);
  nodeBuilder.addHiddenNodes = (comments) => {
    if (comments.length > 0) place(comments);
  };
  refuseDeepRules(parser);
  return parser;
}

function refuseDeepRules(parser: LangiumParser): void {
  const read = parser.subrule.bind(parser);
  let depth = 0;
  parser.subrule = (...given) => {
    if (depth > DEEPEST_RULE) throw new RangeError("rules within rules are too deep");
    depth++;
    try {
      read(...given);
    } finally {
      depth--;
    }
  };
}
