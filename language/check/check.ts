import type { Finding } from "@limbwright/shared/finding";
import type { Site, SiteFile } from "../lower/site.ts";
import type { JudgeOptions, ProtocolJudgement } from "../rules/engine/judge.ts";
import { concernsAll } from "./acceptance-use.ts";
import { judgementsOf } from "./judged.ts";
import { contributionOf } from "./judged-file.ts";
import { eachOnce, FindingsTogether } from "./workspace-findings.ts";

/** What was found in one file: in its text, and about each protocol it declares. */
export interface FileCheck {
  readonly file: string;
  /**
   * Every finding whose place is in this file, in the order of the text, each once; and those that its
   * protocols have in a file that was checked before.
   */
  readonly findings: readonly Finding[];
  readonly protocols: readonly ProtocolJudgement[];
}

export interface CheckOptions extends JudgeOptions {
  /**
   * Whether the files are all that there are in the workspace. Only then can an acceptance be said to name
   * a protocol that does not exist.
   */
  readonly isWholeWorkspace?: boolean;
}

/**
 * Checks files of a site, one after the other, then the files that they use and that were not among them.
 * A file that does not exist is left out. Each result is given as soon as it is there, and what only one
 * protocol needed is forgotten, so that thousands can be checked in a steady amount of memory.
 */
export function* checkFiles(
  site: Site,
  files: readonly string[],
  options: CheckOptions,
): Generator<FileCheck> {
  const checking: Checking = {
    site,
    options,
    given: new Set(files),
    together: new FindingsTogether(),
    done: new Set(),
  };
  const used = new Set<string>();
  const postponed: string[] = [];
  const shared: string[] = [];
  for (const file of files) {
    const read = site.file(file);
    if (!read) continue;
    for (const one of read.uses) used.add(one);
    checking.together.expect(read.protocols);
    if (read.protocols.length === 0) {
      shared.push(file);
      continue;
    }
    if (waitsForOthers(read, checking)) postponed.push(file);
    else yield checkOne(read, checking);
    if (!used.has(file)) site.forget(file);
  }
  const others = [...used].filter((one) => !checking.given.has(one)).sort();
  const usedLast = postponed.sort((a, b) => Number(used.has(a)) - Number(used.has(b)));
  for (const file of [...usedLast, ...shared, ...others]) {
    const read = site.file(file);
    if (read) yield checkOne(read, checking);
  }
}

interface Checking {
  readonly site: Site;
  readonly options: CheckOptions;
  /** The files that were asked for: only in these is an acceptance for every protocol called unused. */
  readonly given: ReadonlySet<string>;
  /** What the files checked so far have to say about files that come later. */
  readonly together: FindingsTogether;
  readonly done: Set<string>;
}

/** Whether other protocols have a say in what is found in the local rules of this file. */
function waitsForOthers(read: SiteFile, { together, options }: Checking): boolean {
  const hasForAll = read.localRules.some(concernsAll);
  return hasForAll || (options.isWholeWorkspace === true && together.unknownProtocolsIn(read).length > 0);
}

/** Checks a file with what was found in it so far. A file that protocols share comes after them. */
function checkOne(read: SiteFile, { site, options, given, together, done }: Checking): FileCheck {
  const protocols = judgementsOf(site, read, options);
  const contribution = contributionOf(read, protocols, options);
  const byOthers = together.take(read.file);
  together.note(contribution);
  if (options.isWholeWorkspace) together.add(together.unknownProtocolsIn(contribution));
  if (given.has(read.file)) together.add(together.unneededAcceptancesIn(contribution, options.on));
  together.add(together.unusedAgentsIn(contribution));
  done.add(read.file);
  const own = together.places().filter((place) => done.has(place));
  const findings = eachOnce([...own.flatMap((place) => together.take(place)), ...byOthers]);
  return { file: read.file, findings, protocols };
}
