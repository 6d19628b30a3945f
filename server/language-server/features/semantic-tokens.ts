import { type ColouredToken, colourTokens, type TokenKind } from "@limbwright/language/editor";
import { type SemanticTokens, SemanticTokensBuilder } from "vscode-languageserver";
import { overlaps, rangeOf } from "../places.ts";
import { type Feature, inText } from "../service.ts";

/** The standard kinds of token that editors have colours for. */
const TYPES = [
  "keyword",
  "number",
  "string",
  "comment",
  "type",
  "variable",
  "property",
  "function",
  "event",
  "class",
  "namespace",
  "decorator",
];
const MODIFIERS = ["declaration"];

const TYPE_OF: Readonly<Record<TokenKind, string>> = {
  agent: "type",
  comment: "comment",
  cuff: "variable",
  dose: "property",
  emergency: "function",
  event: "event",
  keyword: "keyword",
  "local-rules": "namespace",
  number: "number",
  protocol: "class",
  routine: "function",
  rule: "decorator",
  stage: "namespace",
  text: "string",
  timer: "variable",
  word: "property",
};

/** What each word is, for its colour. */
export const semanticTokens: Feature = {
  offers: () => ({
    semanticTokensProvider: {
      legend: { tokenTypes: TYPES, tokenModifiers: MODIFIERS },
      full: true,
      range: true,
    },
  }),
  register: (service) => {
    const { semanticTokens: tokens } = service.connection.languages;
    tokens.on(
      (params) => inText(service, params, ({ site, file }) => buildTokens(colourTokens(site, file))) ?? NONE,
    );
    tokens.onRange(
      (params) =>
        inText(service, params, ({ site, file }) =>
          buildTokens(
            colourTokens(site, file).filter(({ origin }) => overlaps(rangeOf(origin), params.range)),
          ),
        ) ?? NONE,
    );
  },
};

const NONE: SemanticTokens = { data: [] };

function buildTokens(tokens: readonly ColouredToken[]): SemanticTokens {
  const builder = new SemanticTokensBuilder();
  for (const { origin, kind, isDeclaration } of tokens) {
    const { start, end } = rangeOf(origin);
    const type = TYPES.indexOf(TYPE_OF[kind]);
    builder.push(start.line, start.character, end.character - start.character, type, isDeclaration ? 1 : 0);
  }
  return builder.build();
}
