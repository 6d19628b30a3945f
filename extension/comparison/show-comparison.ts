import {
  COMPARISON,
  type ComparisonAsked,
  type ComparisonPage,
  type ComparisonRefused,
} from "@limbwright/shared/editor";
import { type CancellationToken, ProgressLocation, type Uri, Uri as UriOf, window, workspace } from "vscode";
import type { Limbwright } from "../client/limbwright.ts";
import { tell } from "../client/tell.ts";
import { comparisonPanel } from "./panel.ts";

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
export async function showComparison({ client, context }: Limbwright, compared: ToCompare): Promise<void> {
  const nowName = workspace.asRelativePath(compared.now, false);
  const page = await window.withProgress(
    { location: ProgressLocation.Notification, title: "Comparing", cancellable: true },
    (_progress, token) => askWithAllTexts(client, compared, nowName, token),
  );
  if (!page) return;
  if ("refused" in page) return tell(`Nothing was compared: ${page.refused}`);
  comparisonPanel(
    context.extensionUri,
    `Comparison of ${nowName.split("/").at(-1)}`,
    page,
    async (side, file) => {
      const uri = page.files[file];
      if (uri === undefined) return undefined;
      return side === "now" ? UriOf.parse(uri) : compared.whereBefore(UriOf.parse(uri));
    },
  );
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
  const found = await Promise.all(uris.map(async (uri) => [uri, await earlierOf(UriOf.parse(uri))] as const));
  return Object.fromEntries(
    found.flatMap(([uri, text]) => (text === undefined ? [] : [[uri, text] as const])),
  );
}
