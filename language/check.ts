import { compareOrigins, type Finding } from "@limbwright/shared/finding";
import type { Site, SiteFile } from "./lower/site.ts";
import { usedAgents } from "./model/index.ts";
import { acceptanceProblems } from "./rules/acceptances.ts";
import { catalogue, knownRules } from "./rules/catalogue.ts";
import {
  findingOfProblem,
  type JudgeOptions,
  judgeProtocol,
  judgeUnusedAgent,
  type ProtocolJudgement,
} from "./rules/judge.ts";
import { settingProblems } from "./rules/parameters.ts";

/** What was found in one file: in its text, and about each protocol it declares. */
export interface FileCheck {
  readonly file: string;
  /** Every finding whose place is in this file, in the order of the text, each once. */
  readonly findings: readonly Finding[];
  readonly protocols: readonly ProtocolJudgement[];
}

/**
 * Checks files of a site, one after the other, then the files that they use and that were not among them.
 * A file that does not exist is left out. Each result is given as soon as it is there, and what only one
 * protocol needed is forgotten, so that thousands can be checked in a steady amount of memory.
 */
export function* checkFiles(
  site: Site,
  files: readonly string[],
  options: JudgeOptions,
): Generator<FileCheck> {
  const seen: Seen = { elsewhere: new Map(), used: new Set(), agentsInUse: new Set() };
  const shared: string[] = [];
  for (const file of files) {
    const read = site.file(file);
    if (!read) continue;
    for (const other of read.uses) seen.used.add(other);
    if (read.protocols.length === 0) {
      shared.push(file);
      continue;
    }
    yield checkProtocols(site, read, seen, options);
    if (!seen.used.has(file)) site.forget(file);
  }
  const given = new Set(files);
  for (const file of [...shared, ...[...seen.used].filter((one) => !given.has(one)).sort()]) {
    const read = site.file(file);
    if (read) yield checkShared(site, read, seen, options);
  }
}

/** What the files checked so far have to say about files that come later. */
interface Seen {
  /** Findings about a protocol whose place is in a file that it uses, by that file. */
  readonly elsewhere: Map<string, Finding[]>;
  readonly used: Set<string>;
  readonly agentsInUse: Set<string>;
}

function checkProtocols(site: Site, read: SiteFile, seen: Seen, options: JudgeOptions): FileCheck {
  const protocols = judgementsOf(site, read, options);
  for (const agent of protocols.flatMap(({ protocol }) => usedAgents(protocol))) {
    seen.agentsInUse.add(agentKey(agent));
  }
  return { file: read.file, findings: ownFindings(read, protocols, seen.elsewhere), protocols };
}

/** A file that protocols share comes after them, with what they have found in it. */
function checkShared(site: Site, read: SiteFile, seen: Seen, options: JudgeOptions): FileCheck {
  const protocols = judgementsOf(site, read, options);
  const unused = read.agents
    .filter((agent) => !seen.agentsInUse.has(agentKey(agent)))
    .flatMap((agent) => judgeUnusedAgent(agent, catalogue, options));
  const own = ownFindings(read, protocols, seen.elsewhere);
  const byProtocols = seen.elsewhere.get(read.file) ?? [];
  return { file: read.file, findings: sorted([...own, ...unused, ...byProtocols]), protocols };
}

function agentKey(agent: { readonly origin: { readonly file: string }; readonly name: string }): string {
  return `${agent.origin.file}#${agent.name}`;
}

function judgementsOf(site: Site, read: SiteFile, options: JudgeOptions): ProtocolJudgement[] {
  const used = read.uses.map((file) => site.file(file)).filter((one) => one !== undefined);
  const inTheText = [read, ...used].flatMap(textFindings);
  return read.protocols.map((protocol) => judgeProtocol(protocol, inTheText, catalogue, options));
}

/** What is wrong with a text as such, whatever protocol uses it. */
function textFindings(read: SiteFile): Finding[] {
  return [
    ...read.problems.map((problem) => findingOfProblem(problem, catalogue)),
    ...read.localRules.flatMap((rules) => [
      ...settingProblems(rules, knownRules),
      ...acceptanceProblems(rules, knownRules),
    ]),
  ];
}

/** The findings of a file in its own text; those with a place in another file are put by for that one. */
function ownFindings(
  read: SiteFile,
  protocols: readonly ProtocolJudgement[],
  elsewhere: Map<string, Finding[]>,
): Finding[] {
  const own = textFindings(read);
  for (const finding of protocols.flatMap(({ findings }) => findings)) {
    if (finding.origin.file === read.file) {
      own.push(finding);
      continue;
    }
    const others = elsewhere.get(finding.origin.file) ?? [];
    others.push(finding);
    elsewhere.set(finding.origin.file, others);
  }
  return sorted(own);
}

/** In the order of the text, each once: what two protocols find at one place of a shared file is one. */
function sorted(findings: readonly Finding[]): Finding[] {
  const seen = new Set<string>();
  return [...findings]
    .sort((a, b) => compareOrigins(a.origin, b.origin) || (a.rule < b.rule ? -1 : 1))
    .filter((finding) => {
      const key = `${finding.rule}:${finding.origin.start.offset}:${finding.origin.end.offset}:${finding.what}`;
      return !seen.has(key) && seen.add(key);
    });
}
