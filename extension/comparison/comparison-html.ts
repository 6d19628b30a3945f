import type { ComparisonPage } from "@limbwright/shared/editor";
import { webviewPage } from "../client/webview-page.ts";

export interface ComparisonParts {
  readonly script: string;
  /** Lets the one script and the one style through; another each time. */
  readonly nonce: string;
  readonly title: string;
}

/** The colours of the editor in place of those of the system, and places that can be chosen. */
const IN_EDITOR =
  "html{background:var(--vscode-editor-background);color:var(--vscode-editor-foreground)}" +
  ".where[role=link]{cursor:pointer;color:var(--vscode-textLink-foreground);text-decoration:underline}" +
  ".where[role=link]:focus{outline:2px solid var(--vscode-focusBorder)}";

/** The page of a comparison, with its style in it. */
export function comparisonHtml(
  { markup, style }: ComparisonPage,
  { script, nonce, title }: ComparisonParts,
): string {
  return webviewPage({
    title,
    style: `<style nonce="${nonce}">${style}${IN_EDITOR}</style>`,
    styleSource: `'nonce-${nonce}'`,
    body: markup,
    script,
    nonce,
  });
}
