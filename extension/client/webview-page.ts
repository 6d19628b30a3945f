import type { ComparisonPage } from "@limbwright/shared/editor";

/** What a page in the editor is made of. */
interface WebviewPage {
  /** A text. */
  readonly title: string;
  /** The element that gives the style, and the source from which the policy lets it through. */
  readonly style: string;
  readonly styleSource: string;
  /** Markup; every text in it is escaped already. */
  readonly body: string;
  /** Where the one script is. */
  readonly script: string;
  /** Lets the one script through; another each time. */
  readonly nonce: string;
}

/** A page in the editor. Its policy lets through one script and one style of ours, and nothing from elsewhere. */
function webviewPage({ title, style, styleSource, body, script, nonce }: WebviewPage): string {
  const policy = `default-src 'none'; script-src 'nonce-${nonce}'; style-src ${styleSource}; base-uri 'none'; form-action 'none'`;
  return `<!doctype html>
<html lang="en-GB">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="${policy}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>${title.replaceAll("&", "&amp;").replaceAll("<", "&lt;")}</title>
${style}
</head>
<body>
${body}
<script nonce="${nonce}" src="${script}"></script>
</body>
</html>
`;
}

/** The page of a preview, empty. Nothing of a protocol is in it: that comes in messages. `source` is where the editor serves its own files. */
export function previewHtml({
  style,
  source,
  ...parts
}: Pick<WebviewPage, "script" | "nonce" | "style"> & { readonly source: string }): string {
  return webviewPage({
    title: "Limbwright preview",
    style: `<link rel="stylesheet" href="${style}">`,
    styleSource: source,
    body: '<div id="page"></div>',
    ...parts,
  });
}

/** The colours of the editor in place of those of the system, and places that can be chosen. */
const IN_EDITOR =
  "html{background:var(--vscode-editor-background);color:var(--vscode-editor-foreground)}" +
  ".where[role=link]{cursor:pointer;color:var(--vscode-textLink-foreground);text-decoration:underline}" +
  ".where[role=link]:focus{outline:2px solid var(--vscode-focusBorder)}";

/** The page of a comparison, with its style in it. */
export function comparisonHtml(
  { markup, style }: ComparisonPage,
  { script, nonce, title }: Pick<WebviewPage, "script" | "nonce" | "title">,
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

/** A line of a version of a file, as the page names it. */
export interface Line {
  readonly side: "before" | "now";
  readonly file: string;
  readonly line: number;
}

/** What the page said, where it names a line; anything else is nothing to us. */
export function lineFrom(data: unknown): Line | undefined {
  if (typeof data !== "object" || data === null) return undefined;
  const { side, file, line } = data as Record<string, unknown>;
  const isLine = typeof line === "number" && Number.isInteger(line) && line > 0;
  if ((side !== "before" && side !== "now") || typeof file !== "string" || !isLine) return undefined;
  return { side, file, line };
}
