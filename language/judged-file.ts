import type { Finding, NotJudged, Origin, Verdict } from "@limbwright/shared/finding";
import { agentKey, judgementsOf, textFindings } from "./check.ts";
import type { Site, SiteFile } from "./lower/site.ts";
import { type DeclaredRules, type LocalRules, usedAgents } from "./model/index.ts";
import { catalogue } from "./rules/catalogue.ts";
import { type JudgeOptions, judgeUnusedAgent, type ProtocolJudgement } from "./rules/judge.ts";
import { type Envelope, wholeEnvelope } from "./runs/index.ts";

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
  /** The drugs it uses, as `file#name`. */
  readonly agents: readonly string[];
  readonly localRules?: DeclaredRules;
}

interface DeclaredAgent {
  /** `file#name`. */
  readonly key: string;
  /** What is found about it where no protocol uses it. */
  readonly ifUnused: readonly Finding[];
}

/** Judges one file of a site. Undefined when there is no such file. */
export function judgeFile(site: Site, file: string, options: JudgeOptions): JudgedFile | undefined {
  const read = site.file(file);
  if (!read) return undefined;
  return {
    file,
    uses: read.uses,
    missing: read.missing,
    inText: textFindings(read),
    protocols: judgementsOf(site, read, options).map((judgement) => judgedProtocol(judgement, options)),
    agents: declaredAgents(read, options),
    localRules: read.localRules.map(declaredRules),
  };
}

function judgedProtocol(judgement: ProtocolJudgement, { withoutRuns }: JudgeOptions): JudgedProtocol {
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
