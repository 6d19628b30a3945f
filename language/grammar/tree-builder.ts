import type { IToken } from "chevrotain";
import { createLangiumParser, type LangiumCoreServices, type LangiumParser } from "langium";

/** The part of Langium's builder of syntax trees that puts comments between the tokens. */
interface CommentPlacing {
  addHiddenNodes(tokens: readonly IToken[]): void;
}

/**
 * Langium's parser, which looks for a place for the comments before every token, also where there are
 * none, and in a long block looks long. Where there are none this does nothing.
 */
export function createQuickParser(services: LangiumCoreServices): LangiumParser {
  const parser = createLangiumParser(services);
  const { nodeBuilder } = parser as unknown as { readonly nodeBuilder: CommentPlacing };
  const place = nodeBuilder.addHiddenNodes.bind(nodeBuilder);
  nodeBuilder.addHiddenNodes = (comments) => {
    if (comments.length > 0) place(comments);
  };
  return parser;
}
