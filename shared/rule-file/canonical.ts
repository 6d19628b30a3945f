import canonicalize from "canonicalize";

/**
 * A JSON value in the one form that RFC 8785 gives it: no spaces, keys in order, so that equal values are
 * equal texts. Throws where there is no such form (a lone surrogate, a number that is not finite).
 */
export function canonicalText(value: unknown): string {
  const text = canonicalize(value);
  if (text === undefined) throw new TypeError("only a JSON value has a canonical form");
  return text;
}
