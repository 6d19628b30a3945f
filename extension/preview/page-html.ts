/** Where a page finds its parts. */
export interface PageParts {
  readonly script: string;
  readonly style: string;
  /** The source from which the editor serves its own files. */
  readonly source: string;
  /** Lets the one script through; another each time. */
  readonly nonce: string;
}

/**
 * The page of a preview, empty. Nothing of a protocol is in it: that comes in messages. The policy lets through one script and one
 * style of ours, and nothing that stands in the page or comes from elsewhere.
 */
export function pageHtml({ script, style, source, nonce }: PageParts): string {
  const policy = `default-src 'none'; script-src 'nonce-${nonce}'; style-src ${source}; base-uri 'none'; form-action 'none'`;
  return `<!doctype html>
<html lang="en-GB">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="${policy}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>Limbwright preview</title>
<link rel="stylesheet" href="${style}">
</head>
<body>
<div id="page"></div>
<script nonce="${nonce}" src="${script}"></script>
</body>
</html>
`;
}
