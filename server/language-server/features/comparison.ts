import {
  COMPARISON_STYLE,
  type ComparisonSection,
  compareSites,
  comparisonBody,
  comparisonSection,
  type ProtocolComparison,
  Site,
} from "@limbwright/language";
import { COMPARISON, type ComparisonAsked, type ComparisonPage } from "@limbwright/shared/editor";
import { markupText } from "@limbwright/shared/text";
import type { Folder } from "../folders/folder.ts";
import { type AskedText, type Feature, inText, type Service } from "../service.ts";

/** What a text allows, asks and says otherwise than an earlier one. */
export const comparison: Feature = {
  offers: () => ({ experimental: { comparison: true } }),
  register: (service) => {
    service.connection.onRequest(COMPARISON, (params: ComparisonAsked): ComparisonPage | null =>
      inText(service, { textDocument: params }, (asked) => pageOf(service, asked, params)),
    );
  },
};

function pageOf(
  { checker }: Service,
  { folder, file, site }: AskedText,
  asked: ComparisonAsked,
): ComparisonPage {
  const { beforeUri, beforeName, nowName } = asked;
  const earlier = earlierTexts(folder, asked);
  const beforeFile = folder.fileOf(beforeUri) ?? file;
  const beforeSite = new Site((one) => earlier.get(one) ?? folder.textOf(one));
  const isOneFile = beforeFile === file;
  // What changes in a file without a protocol shows in those that use it.
  const files = declares(site, file) || !isOneFile ? [file] : usersOf(folder, file);
  const before = { site: beforeSite, files: isOneFile ? files : [beforeFile], name: beforeName };
  const protocols: ProtocolComparison[] = [];
  const sections: ComparisonSection[] = [];
  const comparing = compareSites(before, { site, files, name: nowName }, { on: checker.day });
  let step = comparing.next();
  for (; !step.done; step = comparing.next()) {
    protocols.push(step.value.comparison);
    sections.push(comparisonSection(step.value, sections.length + 1));
  }
  const report = {
    before: beforeName,
    now: nowName,
    on: checker.day,
    comparison: { protocols, notCompared: step.value },
  };
  const used = before.files.flatMap((one) => beforeSite.file(one)?.uses ?? []);
  const named = new Set([
    beforeFile,
    ...files,
    ...used,
    ...files.flatMap((one) => site.file(one)?.uses ?? []),
  ]);
  return {
    markup: markupText(comparisonBody(report, sections)),
    style: COMPARISON_STYLE,
    files: Object.fromEntries([...named].map((one) => [one, folder.uriOf(one)])),
    asTheyStand: [...new Set(used)].filter((one) => !earlier.has(one)).map((one) => folder.uriOf(one)),
  };
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
