import { compareOrigins, type Finding } from "@limbwright/shared/finding";
import type { Site, SiteFile } from "../lower/site.ts";
import { usedAgents } from "../model/index.ts";
import { catalogue } from "../rules/catalogue.ts";
import { acceptanceProblems, acceptancesOfNothing } from "../rules/engine/acceptances.ts";
import {
  findingOfProblem,
  type JudgeOptions,
  judgeProtocol,
  judgeUnusedAgent,
  type ProtocolJudgement,
} from "../rules/engine/judge.ts";
import { settingProblems } from "../rules/engine/parameters.ts";
import { AcceptanceUse, isForAll } from "./acceptance-use.ts";

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
  const seen: Seen = {
    elsewhere: new Map(),
    done: new Set(),
    used: new Set(),
    agentsInUse: new Set(),
    given: new Set(files),
    acceptances: new AcceptanceUse(),
    ...(options.isWholeWorkspace && { protocolNames: new Set() }),
  };
  const postponed: string[] = [];
  const shared: string[] = [];
  for (const file of files) {
    const read = site.file(file);
    if (!read) continue;
    takeNote(read, seen);
    if (read.protocols.length === 0) {
      shared.push(file);
      continue;
    }
    if (waitsForOthers(read, seen)) postponed.push(file);
    else yield checkOne(site, read, seen, options);
    if (!seen.used.has(file)) site.forget(file);
  }
  const others = [...seen.used].filter((one) => !seen.given.has(one)).sort();
  const usedLast = postponed.sort((a, b) => Number(seen.used.has(a)) - Number(seen.used.has(b)));
  yield* checkLater(site, [...usedLast, ...shared, ...others], seen, options);
}

/** Whether other protocols have a say in what is found in the local rules of this file. */
function waitsForOthers(read: SiteFile, seen: Seen): boolean {
  const hasForAll = read.localRules.some(({ acceptances }) => acceptances.some(isForAll));
  return hasForAll || ownAcceptancesOfNothing(read, seen).length > 0;
}

function* checkLater(
  site: Site,
  files: readonly string[],
  seen: Seen,
  options: JudgeOptions,
): Generator<FileCheck> {
  for (const file of files) {
    const read = site.file(file);
    if (read) yield checkOne(site, read, seen, options);
  }
}

/** What the files checked so far have to say about files that come later. */
interface Seen {
  /** Findings about a protocol whose place is in a file that it uses, by that file. */
  readonly elsewhere: Map<string, Finding[]>;
  readonly done: Set<string>;
  readonly used: Set<string>;
  readonly agentsInUse: Set<string>;
  /** The files that were asked for: only in these is an acceptance for every protocol called unused. */
  readonly given: ReadonlySet<string>;
  readonly acceptances: AcceptanceUse;
  /** The names of all protocols so far, where they will be all of the workspace in the end. */
  readonly protocolNames?: Set<string>;
}

function takeNote(read: SiteFile, { used, protocolNames }: Seen): void {
  for (const file of read.uses) used.add(file);
  for (const { name } of read.protocols) protocolNames?.add(name);
}

/** Checks a file with what was found in it so far. A file that protocols share comes after them. */
function checkOne(site: Site, read: SiteFile, seen: Seen, options: JudgeOptions): FileCheck {
  const protocols = judgementsOf(site, read, options);
  for (const agent of protocols.flatMap(({ protocol }) => usedAgents(protocol))) {
    seen.agentsInUse.add(agentKey(agent));
  }
  for (const { protocol, verdicts } of protocols) seen.acceptances.note(protocol.localRules, verdicts);
  const own = [
    ...ownFindings(read, protocols, seen),
    ...ownAcceptancesOfNothing(read, seen),
    ...unusedAcceptances(read, seen, options),
  ];
  seen.done.add(read.file);
  const byProtocols = seen.elsewhere.get(read.file) ?? [];
  const unused = protocols.length > 0 ? [] : unusedAgentFindings(read, seen, options);
  return { file: read.file, findings: eachOnce([...own, ...unused, ...byProtocols]), protocols };
}

function ownAcceptancesOfNothing(read: SiteFile, { protocolNames }: Seen): Finding[] {
  if (!protocolNames) return [];
  return read.localRules.flatMap((rules) => acceptancesOfNothing(rules, protocolNames));
}

function unusedAcceptances(read: SiteFile, { given, acceptances }: Seen, { on }: JudgeOptions): Finding[] {
  if (!given.has(read.file)) return [];
  return read.localRules.flatMap((rules) => acceptances.unused(rules, on));
}

function unusedAgentFindings(read: SiteFile, seen: Seen, options: JudgeOptions): Finding[] {
  return read.agents
    .filter((agent) => !seen.agentsInUse.has(agentKey(agent)))
    .flatMap((agent) => judgeUnusedAgent(agent, catalogue, options));
}

/** A drug by its name and the file it is declared in. */
export function agentKey(agent: {
  readonly origin: { readonly file: string };
  readonly name: string;
}): string {
  return `${agent.origin.file}#${agent.name}`;
}

export function judgementsOf(site: Site, read: SiteFile, options: JudgeOptions): ProtocolJudgement[] {
  const inTheText = textFindingsBefore(site, read);
  return read.protocols.map((protocol) => judgeProtocol(protocol, inTheText, catalogue, options));
}

/** What is wrong in the text of a file and of those that it uses: all that its protocols are made from. */
export function textFindingsBefore(site: Site, read: SiteFile): Finding[] {
  const used = read.uses.map((file) => site.file(file)).filter((one) => one !== undefined);
  return [read, ...used].flatMap(textFindings);
}

/** What is wrong with a text as such, whatever protocol uses it. */
export function textFindings(read: SiteFile): Finding[] {
  return [
    ...read.problems.map((problem) => findingOfProblem(problem, catalogue)),
    ...read.localRules.flatMap((rules) => [
      ...settingProblems(rules, catalogue),
      ...acceptanceProblems(rules, catalogue),
    ]),
  ];
}

/** The findings of a file in its own text; those with a place in a file that comes later are put by for that one. */
function ownFindings(
  read: SiteFile,
  protocols: readonly ProtocolJudgement[],
  { done, elsewhere }: Seen,
): Finding[] {
  const own = textFindings(read);
  for (const finding of protocols.flatMap(({ findings }) => findings)) {
    if (finding.origin.file === read.file || done.has(finding.origin.file)) {
      own.push(finding);
      continue;
    }
    const others = elsewhere.get(finding.origin.file) ?? [];
    others.push(finding);
    elsewhere.set(finding.origin.file, others);
  }
  return eachOnce(own);
}

/**
 * In the order of the text, each once: what several protocols find at one place of a shared file is one
 * finding, of no protocol in particular. It stays apart from what an acceptance covers for one of them.
 */
export function eachOnce(findings: readonly Finding[]): Finding[] {
  const known = new Map<string, Finding>();
  for (const finding of findings) {
    const { rule, origin, what, accepted } = finding;
    const key = `${accepted ? "accepted" : ""}:${rule}:${origin.start.offset}:${origin.end.offset}:${what}`;
    const earlier = known.get(key);
    known.set(key, earlier && earlier.protocol !== finding.protocol ? ofNoProtocol(earlier) : finding);
  }
  return [...known.values()].sort(
    (a, b) => compareOrigins(a.origin, b.origin) || (a.rule === b.rule ? 0 : a.rule < b.rule ? -1 : 1),
  );
}

function ofNoProtocol(finding: Finding): Finding {
  const { protocol, ...rest } = finding;
  return rest;
}
