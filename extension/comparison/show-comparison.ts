import {
  COMPARISON,
  type ComparisonAsked,
  type ComparisonPage,
  type ComparisonRefused,
} from "@limbwright/shared/editor";
import {
  type CancellationToken,
  ProgressLocation,
  Uri,
  ViewColumn,
  type WebviewPanel,
  window,
  workspace,
} from "vscode";
import { comparisonHtml, type Line, lineFrom } from "../client/webview-page.ts";
import type { Limbwright } from "../commands/command.ts";

/** Two texts to compare, and how to come by what the earlier one uses. */
export interface ToCompare {
  readonly now: Uri;
  readonly before: Uri;
  readonly beforeName: string;
  /** Earlier texts by their URIs. */
  readonly earlier: Readonly<Record<string, string>>;
  /** The earlier text of a file that is used; undefined where it counts as it stands now. */
  readonly earlierOf: (used: Uri) => Promise<string | undefined>;
  /** Where the earlier text of a file can be looked at. */
  readonly whereBefore: (file: Uri) => Promise<Uri>;
}

/** Compares two texts and shows the comparison beside them; each change leads to both of its lines. */
export async function showComparison({ client, context }: Limbwright, compared: ToCompare): Promise<unknown> {
  const nowName = workspace.asRelativePath(compared.now, false);
  const page = await window.withProgress(
    { location: ProgressLocation.Notification, title: "Comparing", cancellable: true },
    (_progress, token) => askWithAllTexts(client, compared, nowName, token),
  );
  if (!page) return undefined;
  if ("refused" in page) return window.showInformationMessage(`Nothing was compared: ${page.refused}`);
  const title = `Comparison of ${nowName.split("/").at(-1)}`;
  return comparisonPanel(context.extensionUri, title, page, async (side, file) => {
    const uri = page.files[file];
    if (uri === undefined) return undefined;
    return side === "now" ? Uri.parse(uri) : compared.whereBefore(Uri.parse(uri));
  });
}

/** Rounds of asking what the earlier text uses; files use others only a few deep. */
const MOST_ROUNDS = 5;

/** Asks again while the earlier text uses files of which an earlier text is to be had. */
async function askWithAllTexts(
  client: Limbwright["client"],
  { now, before, beforeName, earlier, earlierOf }: ToCompare,
  nowName: string,
  token: CancellationToken,
): Promise<ComparisonPage | ComparisonRefused | undefined> {
  let texts = earlier;
  let page: ComparisonPage | ComparisonRefused | undefined;
  for (let round = 0; round < MOST_ROUNDS && !token.isCancellationRequested; round += 1) {
    const asked: ComparisonAsked = {
      uri: now.toString(),
      beforeUri: before.toString(),
      beforeName,
      nowName: `\`${nowName}\``,
      earlier: texts,
    };
    page = await askOnce(client, asked, token);
    if (page && "refused" in page) break;
    const more = await textsOf(page?.asTheyStand ?? [], earlierOf);
    if (Object.keys(more).length === 0) break;
    texts = { ...texts, ...more };
  }
  return token.isCancellationRequested ? undefined : page;
}

/** Nothing where it was cancelled meanwhile, which the server answers with an error. */
async function askOnce(
  client: Limbwright["client"],
  asked: ComparisonAsked,
  token: CancellationToken,
): Promise<ComparisonPage | ComparisonRefused | undefined> {
  try {
    const page = await client.sendRequest<ComparisonPage | ComparisonRefused | null>(
      COMPARISON,
      asked,
      token,
    );
    return page ?? undefined;
  } catch (error) {
    if (token.isCancellationRequested) return undefined;
    throw error;
  }
}

async function textsOf(
  uris: readonly string[],
  earlierOf: ToCompare["earlierOf"],
): Promise<Record<string, string>> {
  const found = await Promise.all(uris.map(async (uri) => [uri, await earlierOf(Uri.parse(uri))] as const));
  return Object.fromEntries(
    found.flatMap(([uri, text]) => (text === undefined ? [] : [[uri, text] as const])),
  );
}

/** Where a version of a file can be looked at; undefined for a file that the page does not speak of. */
type WhereOf = (side: Line["side"], file: string) => Promise<Uri | undefined>;

/** Shows a comparison beside the text; a place that is chosen in it opens that line of that version. */
function comparisonPanel(extension: Uri, title: string, page: ComparisonPage, whereOf: WhereOf): void {
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
