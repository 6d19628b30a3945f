import { webviewPage } from "../client/webview-page.ts";

/** Where a page finds its parts. */
export interface PageParts {
  readonly script: string;
  readonly style: string;
  /** The source from which the editor serves its own files. */
  readonly source: string;
  /** Lets the one script through; another each time. */
  readonly nonce: string;
}

/** The page of a preview, empty. Nothing of a protocol is in it: that comes in messages. */
export function pageHtml({ script, style, source, nonce }: PageParts): string {
  return webviewPage({
    title: "Limbwright preview",
    style: `<link rel="stylesheet" href="${style}">`,
    styleSource: source,
    body: '<div id="page"></div>',
    script,
    nonce,
  });
}
