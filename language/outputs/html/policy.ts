import { digestOfText } from "@limbwright/shared/rule-file";
import { base64, hex } from "@scure/base";

/**
 * The content security policy of a page that holds one style sheet and loads nothing (W3C Content Security Policy Level 3:
 * a style element is let through by the digest of its text, which has to be one line). No script runs in it, whatever
 * stands in a protocol.
 */
export function policyFor(style: string): string {
  const digest = base64.encode(hex.decode(digestOfText(style).slice(PREFIX.length)));
  return `default-src 'none'; style-src 'sha256-${digest}'; base-uri 'none'; form-action 'none'`;
}

const PREFIX = "sha256:";
