import { digestOfText } from "@limbwright/shared/rule-file";
import { element, type Markup, markupText } from "@limbwright/shared/text";
import { base64, hex } from "@scure/base";

/**
 * The text of a page of HTML that needs nothing else: no script, nothing from elsewhere, and every text in it as text. `style`
 * is one line, without a character that HTML would escape, so that its digest lets it through.
 */
export function htmlPage(title: string, style: string, body: Markup): string {
  const page = element(
    "html",
    { lang: "en-GB" },
    element(
      "head",
      {},
      element("meta", { charset: "utf-8" }),
      element("meta", { "http-equiv": "Content-Security-Policy", content: policyFor(style) }),
      element("meta", { name: "viewport", content: "width=device-width, initial-scale=1" }),
      element("title", {}, title),
      element("style", {}, style),
    ),
    element("body", {}, body),
  );
  return `<!doctype html>\n${markupText(page)}\n`;
}

/**
 * The content security policy of a page that holds one style sheet and loads nothing (W3C Content Security Policy Level 3:
 * a style element is let through by the digest of its text, which has to be one line). No script runs in it, whatever
 * stands in a protocol.
 */
function policyFor(style: string): string {
  const digest = base64.encode(hex.decode(digestOfText(style).slice("sha256:".length)));
  return `default-src 'none'; style-src 'sha256-${digest}'; base-uri 'none'; form-action 'none'`;
}
