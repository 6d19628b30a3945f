import { digestOfText } from "@limbwright/shared/rule-file";
import { element, type Markup, markupText } from "@limbwright/shared/text";
import { base64, hex } from "@scure/base";

/** A page of HTML that needs nothing else. */
export interface HtmlPage {
  readonly title: string;
  /** One line, without a character that HTML would escape, so that its digest lets it through. */
  readonly style: string;
  readonly body: Markup;
}

/** The text of a page: no script, nothing from elsewhere, and every text in it as text. */
export function htmlPage({ title, style, body }: HtmlPage): string {
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
  const digest = base64.encode(hex.decode(digestOfText(style).slice(PREFIX.length)));
  return `default-src 'none'; style-src 'sha256-${digest}'; base-uri 'none'; form-action 'none'`;
}

const PREFIX = "sha256:";
