import { isInForce, lastDayAllowed } from "@limbwright/shared/finding";
import { quantityText, rational } from "@limbwright/shared/quantity";
import {
  type Finding as FileFinding,
  type Proof,
  type Protocol,
  type RuleFile,
  type RuleFileFault,
  type Runs,
  readRuleFile,
  type UnsafeFound,
} from "@limbwright/shared/rule-file";
import { listText } from "@limbwright/shared/text";
import { catalogue } from "../rules/catalogue.ts";
import { judgeProtocol, type ProtocolJudgement } from "../rules/engine/judge.ts";
import { type Difference, differencesBetween } from "./differences.ts";
import { Marks } from "./marks.ts";
import { findingParts, isAccepted, keepsDraft, mayBeUnsafe, proofPart, rulesOfFile } from "./proof.ts";
import { protocolPart, restoreProtocol } from "./protocol.ts";
import { runsPart } from "./runs.ts";
import { inFixedOrder, unitFrom } from "./values.ts";

/**
 * A rule that is not proven: the file says itself that it is open, broken, or holds by what local rules answer; or it is about a text
 * that is not in the file.
 */
export interface NotProven {
  readonly rule: string;
  readonly kind: "not-decided" | "broken" | "answered" | "of-the-text";
  readonly reason: string;
}

/**
 * What a rule file is worth. `unreadable`: it is no rule file, or not whole. `differs`: it is whole, but
 * something it claims is not what its own contents prove. `agrees`: everything that can be proven again from
 * the file alone was, and came out the same.
 */
export type Verification =
  | { readonly kind: "unreadable"; readonly faults: readonly RuleFileFault[] }
  | {
      readonly kind: "differs" | "agrees";
      readonly protocol: string;
      readonly version: string;
      readonly use: "draft" | "protocol";
      readonly meaning: string;
      readonly proof: string;
      readonly differences: readonly Difference[];
      /** The rules that were judged again and hold: none that is broken, accepted or answered. */
      readonly proven: readonly string[];
      /** The rules that cannot be judged again from the file, each with the reason. */
      readonly notProven: readonly NotProven[];
      /** What the hospital has accepted and answered, each with its end. */
      readonly decisions: readonly Decision[];
    };

/** An acceptance or an answer of a file: what its user has to know beside what is proven. */
export interface Decision {
  readonly kind: "accepted" | "answered";
  readonly rule: string;
  /** What was found, or what is answered, in words. */
  readonly what: readonly string[];
  /** "3.5 mg/kg", where it is accepted up to a value. */
  readonly upTo?: string;
  readonly because: string;
  readonly by: string;
  readonly until: string;
  /** Whether its last day is before the one that was asked for. */
  readonly hasEnded: boolean;
  /** Whether it ends later than anything can be accepted or answered on that day. */
  readonly reachesTooFar: boolean;
}

export interface VerifyOptions {
  /** The meaning digest that was approved ("sha256:…"); another one is a difference. */
  readonly meaning?: string;
  /** The same for the proof: what the hospital set and accepted can be told from nothing else in the file. */
  readonly proof?: string;
  /** The day, YYYY-MM-DD, on which acceptances and answers are looked at; where it is not given, none is said to have ended. */
  readonly on?: string;
}

/**
 * Checks a rule file from its text alone: both digests, then the tables, the runs with their automaton, the
 * verdicts with their parameters and assumptions, and the findings of a draft, all computed again from the
 * formulas and the steps in the file. Where things are written (`origins`, `sources`) cannot be checked without
 * the sources: compile them again for that.
 */
export function verifyRuleFile(text: string, options: VerifyOptions = {}): Verification {
  const reading = readRuleFile(text);
  if (reading.kind === "refused") return { kind: "unreadable", faults: reading.faults };
  const { file } = reading;
  const differences = [...approvalDifferences(file, options), ...contentDifferences(file)];
  const rules = file.proof.verdicts.map(({ rule, kind }) => ({ rule, kind }));
  return {
    kind: differences.length === 0 ? "agrees" : "differs",
    protocol: file.protocol.name,
    version: file.protocol.version,
    use: file.use,
    ...file.digests,
    differences,
    proven: rules.filter(isProven).map(({ rule }) => rule),
    notProven: rules.filter((one) => !isProven(one)).map(whyNotProven),
    decisions: decisionsIn(file, options.on),
  };
}

type RuleAndKind = Pick<RuleFile["proof"]["verdicts"][number], "rule" | "kind">;

function isProven({ rule, kind }: RuleAndKind): boolean {
  return kind === "holds" && isJudgedAgain(rule);
}

function whyNotProven({ rule, kind }: RuleAndKind): NotProven {
  return kind === "holds"
    ? { rule, kind: "of-the-text", reason: OF_THE_TEXT }
    : { rule, kind, reason: SAID_BY_FILE[kind] };
}

const SAID_BY_FILE = {
  "not-decided": "the file says that it is not decided",
  broken: "the file says that it is broken",
  answered: "it holds by what local rules answer",
} as const;
const OF_THE_TEXT = "it is about the text of the protocol, which is not in the file";

function decisionsIn({ proof }: RuleFile, on: string | undefined): Decision[] {
  const end = (until: string, severity: "unsafe" | "doubtful") => ({
    until,
    hasEnded: on !== undefined && !isInForce({ until }, on),
    reachesTooFar: on !== undefined && until > lastDayAllowed(severity, on),
  });
  const unsafe = proof.verdicts.flatMap((one) => (one.kind === "broken" ? one.unsafe : []));
  const isUnsafe = (what: string) => unsafe.some((one) => one.what === what);
  return [
    ...proof.accepted.map(({ rule, upTo, because, by, alsoBy, until, findings }) => ({
      ...{ kind: "accepted" as const, rule, because },
      by: listText([by, ...(alsoBy === undefined ? [] : [alsoBy])]),
      ...(upTo && { upTo: quantityText({ value: rational(upTo.value), unit: unitFrom(upTo.unit) }) }),
      ...end(until, findings.some(isUnsafe) ? "unsafe" : "doubtful"),
      what: findings,
    })),
    ...proof.answers.map(({ agent, limit, source, because, by, until }) => ({
      ...{ kind: "answered" as const, rule: "agent-maximum-above-label", because, by },
      ...end(until, "unsafe"),
      what: [`at most ${limit.value} ${limit.unit} of ${agent} (source: ${source})`],
    })),
  ];
}

function approvalDifferences({ digests }: RuleFile, expected: VerifyOptions): Difference[] {
  return (["meaning", "proof"] as const).flatMap((name) => {
    const wanted = expected[name];
    if (wanted === undefined || wanted === digests[name]) return [];
    const what = `This is another file than the one with the ${name} ${wanted}: it has ${digests[name]}.`;
    return [{ where: `/digests/${name}`, what }];
  });
}

function contentDifferences(file: RuleFile): Difference[] {
  const again = proveAgain(file);
  if ("senseless" in again) {
    return [{ where: "/protocol", what: `The protocol makes no sense: ${again.senseless}.` }];
  }
  return [
    ...differencesBetween(file.protocol, again.protocol, "/protocol"),
    ...differencesBetween(file.proof, again.proof, "/proof"),
    ...firstOf(differencesBetween(file.runs, again.runs, "/runs")),
    ...differencesBetween(file.findings, again.findings, "/findings"),
    ...(again.isRefused
      ? [
          {
            where: "/use",
            what: "A finding stands, or a rule is not decided, that lets it be a draft only; but the file is none.",
          },
        ]
      : []),
  ];
}

const MOST_TOLD = 20;

/** Where a whole automaton is another, each of its hundreds of places would be told. */
function firstOf(differences: readonly Difference[]): Difference[] {
  const more = differences.length - MOST_TOLD;
  if (more <= 0) return [...differences];
  const rest = { where: "/runs", what: `It differs at ${more} more ${more === 1 ? "place" : "places"}.` };
  return [...differences.slice(0, MOST_TOLD), rest];
}

/** What a file should say by its own formulas and parameters. */
interface ProvenAgain {
  readonly protocol: Protocol;
  readonly proof: Proof;
  readonly runs: Runs;
  readonly findings: readonly FileFinding[] | undefined;
  /** Whether a finding stands that lets it be a draft only, in a file that is none. */
  readonly isRefused: boolean;
}

/** Whether a rule can be judged from a file alone; the others are about the text. */
export function isJudgedAgain(rule: string): boolean {
  return rulesOfFile.some(({ id, judge, judgeAgent }) => id === rule && (judge ?? judgeAgent) !== undefined);
}

/**
 * Restores the protocol of a file, goes through its runs and judges it again. Verdicts and findings about the
 * text are taken from the file as they are. Gives the reason instead where the protocol makes no sense.
 */
function proveAgain(file: RuleFile): ProvenAgain | { readonly senseless: string } {
  const protocol = restoreProtocol(file);
  if ("senseless" in protocol) return protocol;
  const judgement = judgeProtocol(protocol, [], rulesOfFile, { on: ANY_DAY });
  const marks = new Marks();
  const proof = proofPart(marks, judgement);
  const verdicts = proof.verdicts.map((verdict) => aboutText(verdict, file));
  const isOpen = verdicts.some(({ rule, kind }) => kind === "not-decided" && mayBeUnsafe(rule));
  const isBroken = verdicts.some(
    (one) =>
      one.kind === "broken" && one.unsafe.some((unsafe) => !isAcceptedUnsafe(judgement, one.rule, unsafe)),
  );
  const found = findingParts(marks, judgement.findings, (one) => isAccepted(judgement, one));
  const ofTheText = (file.findings ?? []).filter(({ rule }) => !isJudgedAgain(rule));
  return {
    protocol: protocolPart(marks, protocol),
    proof: { ...proof, verdicts },
    runs: runsPart(marks, judgement),
    findings: file.use === "draft" ? inFixedOrder([...found, ...ofTheText]) : file.findings,
    isRefused:
      file.use === "protocol" && (isOpen || isBroken || isOpenBeside(judgement) || found.some(keepsDraft)),
  };
}

/** Also of what was found in the text, of which the file keeps no more than that. */
function isAcceptedUnsafe(
  judgement: ProtocolJudgement,
  rule: string,
  { what, subject }: UnsafeFound,
): boolean {
  const found = judgement.findings.find((one) => one.rule === rule && one.what === what);
  return isAccepted(
    judgement,
    found ?? { rule, severity: "unsafe", ...(subject !== undefined && { subject }) },
  );
}

/** Whether something of an unsafe rule is not decided beside what it found, whatever the day. */
function isOpenBeside({ verdicts }: ProtocolJudgement): boolean {
  return verdicts.some(
    (one) => one.kind === "broken" && one.open && !one.open.answers && mayBeUnsafe(one.rule),
  );
}

/** None of the rules that are judged here looks at the day. */
const ANY_DAY = "0001-01-01";

/** A verdict about the text as the file has it: there is nothing in a file to judge it by. */
function aboutText(verdict: Proof["verdicts"][number], { proof }: RuleFile): Proof["verdicts"][number] {
  const isReading = catalogue.some(({ id }) => id === verdict.rule) && !isJudgedAgain(verdict.rule);
  const recorded = proof.verdicts.find(({ rule }) => rule === verdict.rule);
  if (!isReading || !recorded || recorded.kind === "answered") return verdict;
  const { parameters } = verdict;
  return recorded.kind === "holds"
    ? { ...recorded, parameters }
    : { ...recorded, parameters, mayBeUnsafe: mayBeUnsafe(recorded.rule) };
}
