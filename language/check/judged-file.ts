import type { Finding } from "@limbwright/shared/finding";
import type { Site, SiteFile } from "../lower/site.ts";
import { type Agent, agentsOf, type DeclaredRules, type LocalRules, type Protocol } from "../model/index.ts";
import { catalogue } from "../rules/catalogue.ts";
import {
  type JudgeOptions,
  judgeProtocol,
  judgeUnusedAgent,
  type ProtocolJudgement,
  rulesThatHold,
} from "../rules/engine/judge.ts";
import { releasesOf } from "../rules/engine/over-runs.ts";
import { promiseText, wholeEnvelope } from "../runs/index.ts";
import { type JudgedProtocol, textFindings, textFindingsBefore } from "./judged.ts";
import type { RememberedJudgements } from "./remembered-judgements.ts";

/** All that one file contributes to the check of its workspace. */
export interface Contribution {
  readonly file: string;
  /** What is wrong in its own text, whatever uses it. */
  readonly inText: readonly Finding[];
  readonly protocols: readonly ContributedProtocol[];
  readonly agents: readonly DeclaredAgent[];
  readonly localRules: readonly DeclaredRules[];
}

type ContributedProtocol = Pick<JudgedProtocol, "name" | "findings" | "verdicts" | "agents" | "localRules">;

/** A contribution as plain data, so that it can be kept while other files change, and sent from one thread to another. */
export interface JudgedFile extends Contribution {
  /** The files it uses, directly and through others. */
  readonly uses: readonly string[];
  /** Files that it asks for and that are not there. */
  readonly missing: readonly string[];
  readonly protocols: readonly JudgedProtocol[];
}

interface DeclaredAgent {
  /** `file#name`. */
  readonly key: string;
  /** What is found about it where no protocol uses it. */
  readonly ifUnused: readonly Finding[];
}

export interface JudgeFileOptions extends JudgeOptions {
  /** What was found before; where it is given, only what changed since then is judged. */
  readonly remembered?: RememberedJudgements;
  /** Whether the runs with the earliest and the latest release are to be shown: they are more to keep than all else. */
  readonly withReleases?: boolean;
}

/** Judges one file of a site. Undefined when there is no such file. */
export function judgeFile(site: Site, file: string, options: JudgeFileOptions): JudgedFile | undefined {
  const read = site.file(file);
  if (!read) return undefined;
  const protocols = judgeProtocolsOf(site, read, options);
  return { ...contributedBy(read, options), uses: read.uses, missing: read.missing, protocols };
}

/** What a file contributes of which the protocols are judged already. */
export function contributionOf(
  read: SiteFile,
  judgements: readonly ProtocolJudgement[],
  options: JudgeOptions,
): Contribution {
  return { ...contributedBy(read, options), protocols: judgements.map(contributedProtocol) };
}

function contributedBy(read: SiteFile, options: JudgeOptions): Omit<Contribution, "protocols"> {
  return {
    file: read.file,
    inText: textFindings(read),
    agents: read.agents.map((agent) => ({
      key: agentKey(agent),
      ifUnused: judgeUnusedAgent(agent, catalogue, options),
    })),
    localRules: read.localRules.map(rulesToDeclare),
  };
}

function contributedProtocol({ protocol, findings, verdicts }: ProtocolJudgement): ContributedProtocol {
  const { name, localRules } = protocol;
  return {
    name,
    findings,
    verdicts,
    agents: agentsOf(protocol).map(agentKey),
    ...(localRules && { localRules: rulesToDeclare(localRules) }),
  };
}

function judgeProtocolsOf(site: Site, read: SiteFile, options: JudgeFileOptions): JudgedProtocol[] {
  const { file, protocols } = read;
  const inTheText = textFindingsBefore(site, read);
  const judge = (protocol: Protocol) =>
    asJudgedProtocol(judgeProtocol(protocol, inTheText, catalogue, options), options);
  const {
    remembered,
    on,
    withoutRuns = false,
    withReleases = false,
    isCancelled = () => false,
    earlierVersions,
  } = options;
  if (!remembered) return protocols.map(judge);
  const known = inTheText.map(({ rule, severity }) => `${rule} ${severity}`);
  const earlier = earlierVersions?.restsOn(file);
  const restsOn = JSON.stringify([on, withoutRuns, withReleases, [...new Set(known)].sort(), earlier]);
  return remembered.of({ file, protocols, restsOn, judge, isCancelled });
}

function asJudgedProtocol(
  judgement: ProtocolJudgement,
  { withoutRuns, withReleases }: JudgeFileOptions,
): JudgedProtocol {
  const { protocol, notJudged, pending } = judgement;
  const envelope = withoutRuns ? undefined : wholeEnvelope(judgement.explored.runs);
  return {
    ...contributedProtocol(judgement),
    nameOrigin: protocol.nameOrigin,
    notJudged,
    pending,
    ...(envelope && { envelope }),
    leansOn: envelope
      ? judgement.explored.promisesOf(rulesThatHold(judgement.verdicts)).map(promiseText)
      : [],
    ...(envelope && withReleases && { releases: releasesOf(judgement.explored.runs) }),
  };
}

/** A drug by its name and the file it is declared in. */
function agentKey({ origin, name }: Agent): string {
  return `${origin.file}#${name}`;
}

function rulesToDeclare({ name, origin, acceptances, answers }: LocalRules): DeclaredRules {
  const declared = answers.map(({ agent, agentOrigin, until, origin: at }) => ({
    agent,
    agentOrigin,
    until,
    origin: at,
  }));
  // Only a protocol's own local rules are judged by the value; a number is no plain data.
  const accepted = acceptances.map(({ upTo: _value, ...acceptance }) => acceptance);
  return { name, origin, acceptances: accepted, answers: declared };
}
