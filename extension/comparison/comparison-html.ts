import type { ComparisonPage } from "@limbwright/shared/editor";

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

/** The page of a comparison. Its policy lets through one script and one style, and nothing from elsewhere. */
export function comparisonHtml(
  { markup, style }: ComparisonPage,
  { script, nonce, title }: ComparisonParts,
): string {
  const policy = `default-src 'none'; script-src 'nonce-${nonce}'; style-src 'nonce-${nonce}'; base-uri 'none'; form-action 'none'`;
  return `<!doctype html>
<html lang="en-GB">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="${policy}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>${escaped(title)}</title>
<style nonce="${nonce}">${style}${IN_EDITOR}</style>
</head>
<body>
${markup}
<script nonce="${nonce}" src="${script}"></script>
</body>
</html>
`;
}

function escaped(text: string): string {
  return text.replaceAll("&", "&amp;").replaceAll("<", "&lt;");
}
