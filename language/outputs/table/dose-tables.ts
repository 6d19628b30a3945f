import { type Quantity, quantity, rational } from "@limbwright/shared/quantity";
import { judgeAllIn } from "../../check/judged.ts";
import type { Site } from "../../lower/site.ts";
import { type Refused, refusalOf } from "../../rule-file/compile.ts";
import type { JudgeOptions } from "../../rules/engine/judge.ts";
import { type DoseTable, tableOf, tableText } from "./table.ts";

export interface DoseTableOptions extends JudgeOptions {
  /**
   * The syringe's graduation in mL, a decimal text over zero such as "0.5"; volumes are rounded down to it. "1"
   * if not said.
   */
  readonly graduation?: string;
  /** Writes the table, marked as a draft, although unsafe findings stand. */
  readonly draft?: boolean;
}

export type DoseTableResult =
  | {
      readonly kind: "written";
      readonly protocol: string;
      readonly table: DoseTable;
      /** The same as CSV (RFC 4180). */
      readonly csv: string;
    }
  | Refused;

/**
 * The dose table of every protocol of a file. Undefined when there is no such file. Throws a
 * RangeError when the graduation is not over zero.
 */
export function doseTablesOf(
  site: Site,
  file: string,
  options: DoseTableOptions,
): DoseTableResult[] | undefined {
  const graduation = graduationOf(options);
  const draft = options.draft ?? false;
  return judgeAllIn(site, file, options)?.map((judged) => {
    const refusal = refusalOf(judged, draft);
    if (refusal) return refusal;
    const { protocol } = judged.judgement;
    const table = tableOf(protocol, { graduation, draft });
    if (table) return { kind: "written", protocol: protocol.name, table, csv: tableText(table) };
    return withoutTable(protocol.name);
  });
}

/** The syringe's graduation; throws a RangeError when it is not over zero. */
export function graduationOf({ graduation = "1" }: Pick<DoseTableOptions, "graduation">): Quantity {
  const volume = quantity(rational(graduation), "mL");
  if (volume.value.compare(0) <= 0) throw new RangeError("a graduation is over zero");
  return volume;
}

/** Nothing is written that holds the dose table of a protocol that has none. */
export function withoutTable(protocol: string): Refused {
  const because = `\`${protocol}\` has no table: it covers patients without limits, or too many rows.`;
  return { kind: "refused", protocol, because, findings: [] };
}
