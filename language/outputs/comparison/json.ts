import { CAUTION } from "@limbwright/shared/text";
import { CHANGE_KINDS, type ChangeKind } from "../../compare/codes.ts";
import { type ChangeCounts, countsOf } from "../../compare/comparison.ts";
import { CATALOGUE_VERSION } from "../../rules/engine/catalogue-version.ts";
import type { Unread } from "../findings/report.ts";
import { type ComparisonReport, verdictOf } from "./report.ts";
import type {} from "./words.ts";

/**
 * The number of the form, raised by any change that a reader could notice. `comparison.schema.json` beside this file
 * describes it.
 */
const COMPARISON_FORMAT = 2;

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
    formatVersion: COMPARISON_FORMAT,
    tool: { name: "Limbwright", version, catalogue: CATALOGUE_VERSION },
    caution: CAUTION,
    judgedOn: on,
    before,
    now,
    protocols,
    notCompared,
    unread,
    summary: {
      verdict: verdictOf(comparison),
      protocols: outcomes,
      changes: protocols.map(({ changes }) => countsOf(changes)).reduce(sum, countsOf([])),
    },
  };
  return `${JSON.stringify(report, undefined, 2)}\n`;
}

function sum(one: ChangeCounts, other: ChangeCounts): ChangeCounts {
  return Object.fromEntries(CHANGE_KINDS.map((kind) => [kind, one[kind] + other[kind]])) as Record<
    ChangeKind,
    number
  >;
}
