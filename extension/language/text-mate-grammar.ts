import { COLOURED_PATTERNS, NAME_PATTERN } from "@limbwright/language/editor";

const SCOPES: Readonly<Record<(typeof COLOURED_PATTERNS)[number]["kind"], string>> = {
  comment: "comment.line.double-slash.limb",
  text: "string.quoted.double.limb",
  number: "constant.numeric.limb",
  keyword: "keyword.control.limb",
  unread: "invalid.illegal.limb",
};

/** A word that follows one of these is the name that is declared. */
const NAMED: readonly (readonly [word: string, scope: string])[] = [
  ["protocol", "entity.name.type.class.limb"],
  ["agent", "entity.name.type.limb"],
  ["routine", "entity.name.function.limb"],
  ["emergency", "entity.name.function.limb"],
  ["stage", "entity.name.namespace.limb"],
  ["dose", "variable.other.property.limb"],
  ["timer", "variable.other.readwrite.limb"],
];

/**
 * The grammar by which an editor colours a text before the server is there, made of the language's own tokens. The server's
 * tokens are laid over it; the scopes are those that they fall back to.
 */
export function textMateGrammar(): object {
  return {
    name: "Limb protocol",
    scopeName: "source.limb",
    fileTypes: ["limb"],
    patterns: [
      ...NAMED.map(([word, scope]) => ({
        match: `^\\s*(${word})[ \\t]+(${NAME_PATTERN})(?=[ \\t]*(?:"|\\{|of\\b|from\\b))`,
        captures: { 1: { name: SCOPES.keyword }, 2: { name: scope } },
      })),
      ...COLOURED_PATTERNS.map(({ kind, pattern }) => ({ match: pattern, name: SCOPES[kind] })),
      // A name is passed over whole, so that no word in it is taken for one of the language.
      { match: NAME_PATTERN },
    ],
  };
}
