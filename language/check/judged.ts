import type { Finding, NotJudged, Origin, Verdict } from "@limbwright/shared/finding";
import type { Site, SiteFile } from "../lower/site.ts";
import type { DeclaredRules } from "../model/index.ts";
import { catalogue } from "../rules/catalogue.ts";
import { acceptanceProblems } from "../rules/engine/acceptances.ts";
import {
  findingOfProblem,
  type JudgeOptions,
  judgeProtocol,
  type ProtocolJudgement,
} from "../rules/engine/judge.ts";
import type { Releases } from "../rules/engine/over-runs.ts";
import { settingProblems } from "../rules/engine/parameters.ts";
import type { Envelope } from "../runs/index.ts";

/** A judged protocol with what else its outputs need to know about its sources. */
export interface Judged {
  readonly judgement: ProtocolJudgement;
  /** What was found in the text of the files that the protocol is written in and uses. */
  readonly inTheText: readonly Finding[];
  /** The text of a source file. */
  readonly textOf: (file: string) => string;
}

/** Judges every protocol of a file, with what its outputs need of the sources. Undefined: no such file. */
export function judgeAllIn(site: Site, file: string, options: JudgeOptions): Judged[] | undefined {
  const read = site.file(file);
  if (!read) return undefined;
  const inTheText = textFindingsBefore(site, read);
  return judgementsOf(site, read, options).map((judgement) => ({
    judgement,
    inTheText,
    textOf: (of) => site.textOf(of),
  }));
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

/** A protocol's verdicts and findings, some of which may have their place in files that it uses. */
export interface JudgedProtocol {
  readonly name: string;
  readonly nameOrigin: Origin;
  readonly findings: readonly Finding[];
  readonly verdicts: readonly Verdict[];
  readonly notJudged: readonly NotJudged[];
  /** Rules that were put off because they ask for the runs; none once the runs are gone through. */
  readonly pending: readonly string[];
  /** Over every run; undefined where not every run was gone through. */
  readonly envelope?: Envelope;
  /** Whose work has to be done in time for what holds to hold: "“Suture” never takes more than 40 min", with straight quotes. */
  readonly leansOn: readonly string[];
  /** The runs with the earliest and the latest release, where they were asked for. */
  readonly releases?: Releases;
  /** The drugs it uses, as `file#name`. */
  readonly agents: readonly string[];
  readonly localRules?: DeclaredRules;
}
