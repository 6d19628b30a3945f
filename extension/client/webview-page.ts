/** What a page in the editor is made of. */
export interface WebviewPage {
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
export function webviewPage({ title, style, styleSource, body, script, nonce }: WebviewPage): string {
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
