import { COMPARISON_STYLE, Site } from "@limbwright/language";
import {
  COMPARISON,
  type ComparisonAsked,
  type ComparisonPage,
  type ComparisonRefused,
} from "@limbwright/shared/editor";
import { RULE_FILE_SUFFIX } from "@limbwright/shared/rule-file";
import { type CancellationToken, LSPErrorCodes, ResponseError } from "vscode-languageserver";
import type { Folder } from "../folders/folder.ts";
import { type AskedText, findText, type Service } from "../service.ts";

/** What a text allows, asks and says otherwise than an earlier one. */
export function answerComparison(service: Service): void {
  service.connection.onRequest(COMPARISON, async (params: ComparisonAsked, token: CancellationToken) => {
    // A token that is cancelled before anybody asks for it never says so again.
    if (token.isCancellationRequested) return cancelledError();
    const asked = findText(service, params);
    return asked ? pageOf(service, asked, params, token) : null;
  });
}

async function pageOf(
  { checker }: Service,
  { folder, file, site }: AskedText,
  asked: ComparisonAsked,
  token: CancellationToken,
): Promise<ComparisonPage | ComparisonRefused | ResponseError<void>> {
  const earlier = earlierTexts(folder, asked);
  const beforeFile = folder.fileOf(asked.beforeUri) ?? file;
  const isOneFile = beforeFile === file;
  // What changes in a file without a protocol shows in those that use it.
  const files = declares(site, file) || !isOneFile ? [file] : usersOf(folder, file);
  const textBefore = (one: string) => earlier.get(one) ?? folder.textOf(one);
  const before = versionBefore(isOneFile ? files : [beforeFile], textBefore);
  const used = files.flatMap((one) => site.file(one)?.uses ?? []);
  const compared = await checker.compare(
    folder,
    { now: { files, name: asked.nowName }, before: { ...before, name: asked.beforeName } },
    used,
    (cancel) => token.onCancellationRequested(cancel),
  );
  if (compared === undefined) return cancelledError();
  if ("refused" in compared) return compared;
  const named = new Set([...before.texts.keys(), ...before.used, ...files, ...used]);
  return {
    markup: compared.markup,
    style: COMPARISON_STYLE,
    files: Object.fromEntries([...named].map((one) => [one, folder.uriOf(one)])),
    asTheyStand: [...new Set(before.used)].filter((one) => !earlier.has(one)).map((one) => folder.uriOf(one)),
  };
}

/** The earlier version: its files with what they use, or the one rule file. */
function versionBefore(files: readonly string[], textOf: (file: string) => string | undefined) {
  const [first = ""] = files;
  const text = textOf(first);
  if (text !== undefined && first.endsWith(RULE_FILE_SUFFIX)) {
    return { files: [], used: [], texts: new Map<string, string>(), ruleFile: { path: first, text } };
  }
  const site = new Site(textOf);
  const used = files.flatMap((one) => site.file(one)?.uses ?? []);
  return { files, used, texts: textsOf([...files, ...used], textOf) };
}

function cancelledError(): ResponseError<void> {
  return new ResponseError(LSPErrorCodes.RequestCancelled, "The comparison was cancelled.");
}

function textsOf(
  files: readonly string[],
  textOf: (file: string) => string | undefined,
): Map<string, string> {
  return new Map(
    files.flatMap((file) => {
      const text = textOf(file);
      return text === undefined ? [] : [[file, text] as const];
    }),
  );
}

function earlierTexts(folder: Folder, { earlier }: ComparisonAsked): Map<string, string> {
  return new Map(
    Object.entries(earlier).flatMap(([uri, text]) => {
      const file = folder.fileOf(uri);
      return file === undefined ? [] : [[file, text] as const];
    }),
  );
}

function declares(site: Site, file: string): boolean {
  return (site.file(file)?.protocols.length ?? 0) > 0;
}

function usersOf({ site, listed, openFiles }: Folder, file: string): string[] {
  const known = [...new Set([...listed, ...openFiles])].sort();
  const users = known.filter(
    (one) => one !== file && site.file(one)?.uses.includes(file) && declares(site, one),
  );
  return users.length > 0 ? users : [file];
}
