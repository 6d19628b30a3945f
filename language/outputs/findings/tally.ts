import type { Origin, Severity } from "@limbwright/shared/finding";
import type { FileCheck } from "../../check/check.ts";

/** What a whole check came to. */
export interface Summary {
  readonly files: number;
  readonly protocols: number;
  /** Findings that count, by severity: those that no acceptance covers. */
  readonly bySeverity: Readonly<Record<Severity, number>>;
  readonly accepted: number;
  /** Verdicts, one a rule and protocol. */
  readonly holding: number;
  readonly notDecided: number;
  /** Why rules are not decided: equal reasons together, in the order they were met. */
  readonly reasons: readonly Reason[];
  /** Texts that no rule looks at. */
  readonly notJudged: number;
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

/** Adds up checks of files one by one, in memory that grows with the kinds of reasons and not with the files. */
export class Tally {
  private files = 0;
  private protocols = 0;
  private accepted = 0;
  private holding = 0;
  private notDecided = 0;
  private notJudged = 0;
  private readonly bySeverity: Record<Severity, number> = { error: 0, unsafe: 0, doubtful: 0, advice: 0 };
  private readonly reasons = new Map<string, Map<string, UndecidedRule>>();

  add({ findings, protocols }: FileCheck): void {
    this.files += 1;
    this.protocols += protocols.length;
    for (const { severity, accepted } of findings) {
      if (accepted) this.accepted += 1;
      else this.bySeverity[severity] += 1;
    }
    for (const judgement of protocols) this.addVerdicts(judgement);
  }

  summary(): Summary {
    const { files, protocols, bySeverity, accepted, holding, notDecided, notJudged } = this;
    const reasons = [...this.reasons].map(([limit, rules]) => ({ limit, rules: [...rules.values()] }));
    return { files, protocols, bySeverity, accepted, holding, notDecided, reasons, notJudged };
  }

  private addVerdicts({ protocol, verdicts, notJudged }: FileCheck["protocols"][number]): void {
    this.notJudged += notJudged.length;
    for (const verdict of verdicts) {
      if (verdict.kind === "holds") this.holding += 1;
      if (verdict.kind !== "not-decided") continue;
      this.notDecided += 1;
      const rules = this.reasons.get(verdict.limit) ?? new Map<string, UndecidedRule>();
      this.reasons.set(verdict.limit, rules);
      const known = rules.get(verdict.rule);
      rules.set(verdict.rule, {
        rule: verdict.rule,
        protocols: (known?.protocols ?? 0) + 1,
        origin: known?.origin ?? verdict.origin ?? protocol.nameOrigin,
      });
    }
  }
}
