import type { ComparisonPage } from "@limbwright/shared/editor";
import { Uri, ViewColumn, type WebviewPanel, window, workspace } from "vscode";
import { comparisonHtml } from "./comparison-html.ts";
import { type Line, lineFrom } from "./line.ts";

/** Where a version of a file can be looked at; undefined for a file that the page does not speak of. */
type WhereOf = (side: Line["side"], file: string) => Promise<Uri | undefined>;

/** Shows a comparison beside the text; a place that is chosen in it opens that line of that version. */
export function comparisonPanel(extension: Uri, title: string, page: ComparisonPage, whereOf: WhereOf): void {
  const files = Uri.joinPath(extension, "dist", "preview");
  const panel = window.createWebviewPanel(
    "limbwright.comparison",
    title,
    { viewColumn: ViewColumn.Beside, preserveFocus: true },
    { enableScripts: true, localResourceRoots: [files] },
  );
  panel.webview.onDidReceiveMessage((data: unknown) => {
    const line = lineFrom(data);
    if (line) void reveal(panel, line, whereOf);
  });
  panel.webview.html = comparisonHtml(page, {
    script: panel.webview.asWebviewUri(Uri.joinPath(files, "comparison.js")).toString(),
    nonce: crypto.randomUUID(),
    title,
  });
}

async function reveal(
  { viewColumn }: WebviewPanel,
  { side, file, line }: Line,
  whereOf: WhereOf,
): Promise<void> {
  const uri = await whereOf(side, file);
  if (!uri) return;
  const document = await workspace.openTextDocument(uri);
  const { range } = document.lineAt(Math.min(line, document.lineCount) - 1);
  const column = viewColumn === ViewColumn.One ? ViewColumn.Two : ViewColumn.One;
  await window.showTextDocument(document, { viewColumn: column, selection: range });
}
