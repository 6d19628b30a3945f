import type {
  CaseNotJudged,
  CaseReport,
  DeviationKind,
  NoteKind,
  RecordSummary,
} from "@limbwright/shared/replay";
import type { AgainstFile } from "@limbwright/shared/runtime";

/** What was found about one file with case records. */
export interface ReplayedFile extends RecordSummary {
  readonly file: string;
}

/** How often something was found, and in how many cases. */
export interface Found {
  readonly count: number;
  readonly cases: number;
}

/** A reason against following a protocol, and on the days of how many cases it stood. */
export interface AgainstCases extends Pick<AgainstFile, "kind" | "words"> {
  readonly cases: number;
}

/** Adds up what cases came to; it grows with what can be found, not with the cases. */
export class ReplayTally {
  readonly outcomes: Record<CaseReport["outcome"], number> = {
    "as-written": 0,
    deviates: 0,
    "not-judged": 0,
  };
  readonly byKind = new Map<DeviationKind, Found>();
  readonly byRule = new Map<string, Found>();
  readonly notJudged = new Map<CaseNotJudged["because"], Found>();
  readonly notes = new Map<NoteKind, number>();
  events = 0;
  rows = 0;

  get cases(): number {
    return this.outcomes["as-written"] + this.outcomes.deviates + this.outcomes["not-judged"];
  }

  /** Cases in which something could not be judged, also beside deviations. */
  partlyJudged = 0;

  /** Cases that were followed and of which no time has a date. */
  withoutDate = 0;
  readonly #against = new Map<string, AgainstCases>();

  /** What stood against the protocol on the days of the cases, what was so in the most of them first. */
  get against(): readonly AgainstCases[] {
    return [...this.#against.values()].sort((a, b) => b.cases - a.cases || (a.words < b.words ? -1 : 1));
  }

  /** `against` is what stood against the protocol on the day of the case. */
  addCase(report: CaseReport, against: readonly AgainstFile[]): void {
    const { outcome, day, events, deviations, notJudged, notes } = report;
    this.outcomes[outcome] += 1;
    this.events += events;
    if (events > 0 && day === undefined) this.withoutDate += 1;
    for (const { kind, words } of against) {
      const cases = (this.#against.get(words)?.cases ?? 0) + 1;
      this.#against.set(words, { kind, words, cases });
    }
    if (notJudged.length > 0) this.partlyJudged += 1;
    if (outcome !== "as-written") {
      addAll(
        this.byKind,
        deviations.map(({ kind }) => kind),
      );
      addAll(this.byRule, deviations.flatMap(rulesOf));
      addAll(
        this.notJudged,
        notJudged.map(({ because }) => because),
      );
    }
    for (const { kind, count } of notes) this.notes.set(kind, (this.notes.get(kind) ?? 0) + count);
  }

  addFile({ rows, notes }: RecordSummary): void {
    this.rows += rows;
    for (const { kind, count } of notes) this.notes.set(kind, (this.notes.get(kind) ?? 0) + count);
  }
}

/** A rule that a slip broke at once, or led to. */
function rulesOf({ rules, ledTo }: CaseReport["deviations"][number]): string[] {
  return [...new Set([...rules, ...ledTo].map(({ rule }) => rule))];
}

function addAll<Key>(into: Map<Key, Found>, keys: readonly Key[]): void {
  const seen = new Set<Key>();
  for (const key of keys) {
    const { count, cases } = into.get(key) ?? { count: 0, cases: 0 };
    into.set(key, { count: count + 1, cases: cases + (seen.has(key) ? 0 : 1) });
    seen.add(key);
  }
}
