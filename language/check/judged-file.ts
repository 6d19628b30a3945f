import type { Finding } from "@limbwright/shared/finding";
import type { Site, SiteFile } from "../lower/site.ts";
import { type DeclaredRules, type LocalRules, type Protocol, usedAgents } from "../model/index.ts";
import { catalogue } from "../rules/catalogue.ts";
import {
  type JudgeOptions,
  judgeProtocol,
  judgeUnusedAgent,
  type ProtocolJudgement,
} from "../rules/engine/judge.ts";
import { releasesOf } from "../rules/engine/over-runs.ts";
import { wholeEnvelope } from "../runs/index.ts";
import { agentKey, textFindings, textFindingsBefore } from "./check.ts";
import type { JudgedProtocol } from "./judged-protocol.ts";
import type { RememberedJudgements } from "./remembered-judgements.ts";

/**
 * All that one file contributes to the check of its workspace. Plain data, so that it can be kept while other files
 * change, and sent from one thread to another.
 */
export interface JudgedFile {
  readonly file: string;
  /** The files it uses, directly and through others. */
  readonly uses: readonly string[];
  /** Files that it asks for and that are not there. */
  readonly missing: readonly string[];
  /** What is wrong in its own text, whatever uses it. */
  readonly inText: readonly Finding[];
  readonly protocols: readonly JudgedProtocol[];
  readonly agents: readonly DeclaredAgent[];
  readonly localRules: readonly DeclaredRules[];
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
  return {
    file,
    uses: read.uses,
    missing: read.missing,
    inText: textFindings(read),
    protocols: judgedProtocols(site, read, options),
    agents: declaredAgents(read, options),
    localRules: read.localRules.map(declaredRules),
  };
}

function judgedProtocols(site: Site, read: SiteFile, options: JudgeFileOptions): JudgedProtocol[] {
  const { file, protocols } = read;
  const inTheText = textFindingsBefore(site, read);
  const judge = (protocol: Protocol) =>
    judgedProtocol(judgeProtocol(protocol, inTheText, catalogue, options), options);
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

function judgedProtocol(
  judgement: ProtocolJudgement,
  { withoutRuns, withReleases }: JudgeFileOptions,
): JudgedProtocol {
  const { protocol, findings, verdicts, notJudged, pending } = judgement;
  const { name, nameOrigin, localRules } = protocol;
  const envelope = withoutRuns ? undefined : wholeEnvelope(judgement.explored.runs);
  return {
    name,
    nameOrigin,
    findings,
    verdicts,
    notJudged,
    pending,
    ...(envelope && { envelope }),
    ...(envelope && withReleases && { releases: releasesOf(judgement.explored.runs) }),
    agents: usedAgents(protocol).map(agentKey),
    ...(localRules && { localRules: declaredRules(localRules) }),
  };
}

function declaredAgents(read: SiteFile, options: JudgeOptions): DeclaredAgent[] {
  return read.agents.map((agent) => ({
    key: agentKey(agent),
    ifUnused: judgeUnusedAgent(agent, catalogue, options),
  }));
}

function declaredRules({ name, origin, acceptances }: LocalRules): DeclaredRules {
  return { name, origin, acceptances };
}
