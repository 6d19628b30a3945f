import {
  type AnsweredBy,
  type Finding,
  type Origin,
  openPointOf,
  SEVERITIES,
  type Severity,
} from "@limbwright/shared/finding";
import { CAUTION } from "@limbwright/shared/text";
import type { FileCheck } from "../../check/check.ts";
import { CATALOGUE_VERSION } from "../../rules/engine/catalogue-version.ts";

/** What a whole check came to. */
export interface Summary {
  readonly files: number;
  readonly protocols: number;
  /** Findings that count, by severity: those that no acceptance covers. */
  readonly bySeverity: Readonly<Record<Severity, number>>;
  readonly accepted: number;
  /** Verdicts, one a rule and protocol. */
  readonly holding: number;
  /** Rules that hold by what local rules answer; they are not among those that hold. */
  readonly answered: number;
  /** The answers by which they do, in the order they were met. */
  readonly answers: readonly AnswerUsed[];
  readonly notDecided: number;
  /** Why rules are not decided: equal reasons together, in the order they were met. */
  readonly reasons: readonly Reason[];
  /** Texts that no rule looks at. */
  readonly notJudged: number;
}

/** One answer of local rules, and the rules that are answered by it. */
export interface AnswerUsed extends AnsweredBy {
  readonly rules: readonly string[];
}

/** One reason for which rules are not decided. */
export interface Reason {
  readonly limit: string;
  readonly rules: readonly UndecidedRule[];
}

export interface UndecidedRule {
  readonly rule: string;
  readonly protocols: number;
  /** The place to look at, for the first protocol for which it is not decided. */
  readonly origin: Origin;
}

/** How many findings count, and how many are accepted. */
export function countFindings(findings: readonly Finding[]): Pick<Summary, "bySeverity" | "accepted"> {
  const bySeverity: Record<Severity, number> = { error: 0, unsafe: 0, doubtful: 0, advice: 0 };
  const counting = findings.filter(({ accepted }) => !accepted);
  for (const { severity } of counting) bySeverity[severity] += 1;
  return { bySeverity, accepted: findings.length - counting.length };
}

/** What stands first in every report for programs; `format` is the number of its form. */
export function reportHead(format: number, version: string) {
  return {
    formatVersion: format,
    tool: { name: "Limbwright", version, catalogue: CATALOGUE_VERSION },
    caution: CAUTION,
  };
}

/** Adds up checks of files one by one, in memory that grows with the kinds of reasons and not with the files. */
export class Tally {
  private readonly counts = {
    files: 0,
    protocols: 0,
    accepted: 0,
    holding: 0,
    answered: 0,
    notDecided: 0,
    notJudged: 0,
  };
  private readonly bySeverity = { error: 0, unsafe: 0, doubtful: 0, advice: 0 };
  private readonly answers = new Map<string, AnswerUsed>();
  private readonly reasons = new Map<string, Map<string, UndecidedRule>>();

  add({ findings, protocols }: FileCheck): void {
    this.counts.files += 1;
    this.counts.protocols += protocols.length;
    const { bySeverity, accepted } = countFindings(findings);
    this.counts.accepted += accepted;
    for (const severity of SEVERITIES) this.bySeverity[severity] += bySeverity[severity];
    for (const judgement of protocols) this.addVerdicts(judgement);
  }

  summary(): Summary {
    const reasons = [...this.reasons].map(([limit, rules]) => ({ limit, rules: [...rules.values()] }));
    return { ...this.counts, bySeverity: this.bySeverity, answers: [...this.answers.values()], reasons };
  }

  private addAnswers(rule: string, answers: readonly AnsweredBy[]): void {
    for (const answer of answers) {
      const key = `${answer.origin.file}:${answer.origin.start.offset}`;
      const rules = new Set([...(this.answers.get(key)?.rules ?? []), rule]);
      this.answers.set(key, { ...answer, rules: [...rules] });
    }
  }

  private addVerdicts({ protocol, verdicts, notJudged }: FileCheck["protocols"][number]): void {
    this.counts.notJudged += notJudged.length;
    for (const verdict of verdicts) {
      if (verdict.kind === "holds") this.counts.holding += 1;
      if (verdict.kind === "answered") {
        this.counts.answered += 1;
        this.addAnswers(verdict.rule, verdict.answers);
      }
      const open = openPointOf(verdict);
      if (!open) continue;
      this.counts.notDecided += 1;
      const rules = this.reasons.get(open.limit) ?? new Map<string, UndecidedRule>();
      this.reasons.set(open.limit, rules);
      const known = rules.get(verdict.rule);
      rules.set(verdict.rule, {
        rule: verdict.rule,
        protocols: (known?.protocols ?? 0) + 1,
        origin: known?.origin ?? open.origin ?? protocol.nameOrigin,
      });
    }
  }
}

/**
 * Writes findings in one form, piece by piece, so that thousands of files need no more memory than one.
 * Joined together the pieces are the whole output.
 */
export interface Report {
  readonly start: () => string;
  readonly file: (check: FileCheck) => string;
  readonly end: (end: ReportEnd) => string;
}

export interface ReportEnd {
  readonly summary: Summary;
  readonly unread: readonly Unread[];
  /** Findings left out because a baseline has them; undefined where there is no baseline. */
  readonly known?: number;
}

/** A file that could not be read, or a folder that could not be searched, and why. */
export interface Unread {
  readonly file: string;
  /** A sentence: what, where and why. */
  readonly what: string;
  /** A sentence: what to do. */
  readonly next: string;
}
