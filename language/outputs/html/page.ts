import { element, type Markup, markupText } from "@limbwright/shared/text";
import { policyFor } from "./policy.ts";

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
