import {
  type Finding,
  isAtLeast,
  type OpenPoint,
  openPointOf,
  type Verdict,
} from "@limbwright/shared/finding";
import {
  canonicalText,
  digestOfText,
  FORMAT,
  meaningOf,
  proofOf,
  readRuleFile,
} from "@limbwright/shared/rule-file";
import { CAUTION } from "@limbwright/shared/text";
import { type Judged, judgeAllIn } from "../check/judged.ts";
import type { Site } from "../lower/site.ts";
import type { Protocol } from "../model/index.ts";
import type { JudgeOptions, ProtocolJudgement } from "../rules/engine/judge.ts";
import { Marks, sourceMapOf } from "./marks.ts";
import { findingParts, isAccepted, isOfFile, keepsDraft, mayBeUnsafe, proofPart } from "./proof.ts";
import { isWhole, protocolPart, standingPart } from "./protocol.ts";
import { runsPart } from "./runs.ts";

/** A compiled protocol: the text of its rule file, or why there is none. */
export type Compiled =
  | {
      readonly kind: "written";
      /** The protocol's name. */
      readonly protocol: string;
      readonly use: "draft" | "protocol";
      /** The whole text to write; it has no line end. */
      readonly text: string;
      /** "sha256:…", printed wherever the protocol is. */
      readonly meaning: string;
      readonly proof: string;
    }
  | Refused;

export interface Refused {
  readonly kind: "refused";
  readonly protocol: string;
  /** One sentence that says why. */
  readonly because: string;
  /** The findings that stand in the way. */
  readonly findings: readonly Finding[];
  /** What stands in the way because nobody could decide it. */
  readonly open: readonly OpenRule[];
}

/** A rule of which something is not decided. */
export interface OpenRule extends OpenPoint {
  readonly rule: string;
}

export interface CompileOptions extends JudgeOptions {
  /** Writes a rule file marked as a draft, with the findings inside, although unsafe findings stand. */
  readonly draft?: boolean;
}

/**
 * Compiles every protocol of a file to the text of its rule file, in the order of the text. Undefined when
 * there is no such file.
 *
 * A protocol is refused while an error, or an unsafe finding that nobody has accepted, stands on the day `on`, or a rule whose
 * breach is unsafe is neither decided nor answered on it; errors also stop a draft. What is written does not depend on that day: the same sources and the
 * same catalogue give the same text.
 */
export function compileFile(site: Site, file: string, options: CompileOptions): Compiled[] | undefined {
  return judgeAllIn(site, file, options)?.map((judged) => compileProtocol(judged, options.draft ?? false));
}

/**
 * Writes the rule file of a judged protocol. Refused while an error stands, or, unless it is to be a draft,
 * an unsafe finding that no acceptance in force covers, or an unsafe rule that is not decided. The bytes are a function of the sources and the
 * catalogue alone: the day of the judgement decides only whether there are any.
 */
export function compileProtocol(judged: Judged, draft: boolean): Compiled {
  const { judgement, inTheText } = judged;
  const { protocol } = judgement;
  const refusal = refusalOf(judged, draft);
  if (refusal) return refusal;
  if (!isWhole(protocol)) return refusedAsPartial(judged);
  const marks = new Marks();
  const findings = [...inTheText, ...judgement.findings].filter(isOfFile);
  const part = protocolPart(marks, protocol);
  const content = {
    $schema: `urn:limbwright:rule-file:${FORMAT}` as const,
    format: FORMAT,
    caution: CAUTION,
    use: draft ? ("draft" as const) : ("protocol" as const),
    digests: { meaning: meaningOf(part) },
    standing: standingPart(marks, protocol),
    proof: proofPart(marks, judgement, inTheText),
    runs: runsPart(marks, judgement),
    ...(draft && { findings: findingParts(marks, findings, (one) => isAccepted(judgement, one)) }),
  };
  const digests = { ...content.digests, proof: proofOf(content) };
  const whole = { ...content, digests, protocol: part };
  const map = sourceMapOf(marks.placesIn(whole), (file) => digestOfText(judged.textOf(file)));
  const text = canonicalText({ ...whole, ...map });
  const reading = readRuleFile(text);
  if (reading.kind === "refused") return refused(judged, { reason: lowerCaseFirst(reading.faults[0].what) });
  return { kind: "written", protocol: protocol.name, use: content.use, text, ...digests };
}

/**
 * The digest of what a protocol means, as its rule file carries it; undefined where a part is missing that every rule
 * file needs.
 */
export function meaningOfProtocol(protocol: Protocol): string | undefined {
  return isWhole(protocol) ? meaningOf(protocolPart(new Marks(), protocol)) : undefined;
}

/** What of a judgement decides whether anything is written. */
export interface Refusable extends Pick<Judged, "inTheText"> {
  readonly judgement: Pick<ProtocolJudgement, "protocol" | "findings" | "verdicts">;
}

/** That a part is missing without which nothing is written. */
export function refusedAsPartial(judged: Refusable): Refused {
  return refused(judged, { reason: "part of the protocol is missing" });
}

/**
 * Why a protocol may not be compiled, or put into any other form that is used on patients: because of an error; or, unless it is to be
 * a draft, because of an unsafe finding that nobody accepted, or of a rule whose breach is unsafe and that is not decided.
 */
export function refusalOf(judged: Refusable, draft: boolean): Refused | undefined {
  const { judgement, inTheText } = judged;
  const all = [...inTheText, ...judgement.findings];
  const errors = all.filter(({ severity }) => severity === "error");
  if (errors.length > 0) return refused(judged, { reason: "there are errors", findings: errors });
  const findings = all.filter(keepsDraft);
  const open = unsafeIfBroken(judgement.verdicts);
  if (draft || findings.length + open.length === 0) return undefined;
  const isUnsafe = findings.some(({ severity }) => isAtLeast(severity, "unsafe"));
  const reasons = [
    ...(isUnsafe ? ["unsafe findings stand"] : []),
    ...(open.length > 0 ? [openText(open)] : []),
  ];
  const reason = reasons.join(", and ") || "it can be written as a draft only";
  return refused(judged, { reason, findings, open });
}

/** What is not decided of rules whose breach may be unsafe: nobody knows that they are not broken. */
function unsafeIfBroken(verdicts: readonly Verdict[]): OpenRule[] {
  return verdicts.flatMap((verdict) => {
    const open = openPointOf(verdict);
    if (!open || !mayBeUnsafe(verdict.rule)) return [];
    return [{ rule: verdict.rule, limit: open.limit, ...(open.origin && { origin: open.origin }) }];
  });
}

function openText(open: readonly OpenRule[]): string {
  const [first] = open;
  return open.length === 1 && first
    ? `\`${first.rule}\`, whose breach is unsafe, is not decided`
    : `${open.length} rules whose breach is unsafe are not decided`;
}

interface Why {
  readonly reason: string;
  readonly findings?: readonly Finding[];
  readonly open?: readonly OpenRule[];
}

function refused({ judgement }: Refusable, { reason, findings = [], open = [] }: Why): Refused {
  const { name } = judgement.protocol;
  return {
    kind: "refused",
    protocol: name,
    because: `\`${name}\` is not written: ${reason}.`,
    findings,
    open,
  };
}

function lowerCaseFirst(sentence: string): string {
  return sentence.slice(0, 1).toLowerCase() + sentence.slice(1).replace(/\.$/, "");
}
