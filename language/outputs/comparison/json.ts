import { countsOf } from "../../compare/comparison.ts";
import { reportHead, type Unread } from "../findings/tally.ts";
import { type ComparisonReport, verdictOf } from "./words.ts";

/**
 * The number of the form, raised by any change that a reader could notice. `comparison.schema.json` beside this file
 * describes it.
 */
const COMPARISON_FORMAT = 3;

export interface ComparisonJson extends ComparisonReport {
  /** The version of the program that writes. */
  readonly version: string;
  readonly unread: readonly Unread[];
}

/** A comparison for other programs, as one JSON document. */
export function comparisonJson({ version, before, now, on, comparison, unread }: ComparisonJson): string {
  const { protocols, notCompared } = comparison;
  const outcomes = { nothing: 0, changed: 0, "not-decided": 0, added: 0, removed: 0 };
  for (const { outcome } of protocols) outcomes[outcome] += 1;
  const report = {
    ...reportHead(COMPARISON_FORMAT, version),
    judgedOn: on,
    before,
    now,
    protocols,
    notCompared,
    unread,
    summary: {
      verdict: verdictOf(comparison),
      protocols: outcomes,
      changes: countsOf(protocols.flatMap(({ changes }) => changes)),
    },
  };
  return `${JSON.stringify(report, undefined, 2)}\n`;
}
