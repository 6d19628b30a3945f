import type { Finding } from "@limbwright/shared/finding";
import type { Site } from "./lower/site.ts";
import type { JudgeOptions } from "./rules/judge.ts";

export interface DoseTableOptions extends JudgeOptions {
  /** The syringe's graduation in mL, a decimal text such as "0.5"; volumes are rounded down to it. "1" if not said. */
  readonly graduation?: string;
  /** Writes the table, marked as a draft, although unsafe findings stand. */
  readonly draft?: boolean;
}

export type DoseTableResult =
  | { readonly kind: "written"; readonly protocol: string; readonly csv: string }
  | {
      readonly kind: "refused";
      readonly protocol: string;
      readonly because: string;
      readonly findings: readonly Finding[];
    };

/** The dose table of every protocol of a file as CSV (RFC 4180). Undefined when there is no such file. */
export function doseTablesOf(
  site: Site,
  file: string,
  options: DoseTableOptions,
): DoseTableResult[] | undefined {
  void site;
  void file;
  void options;
  return undefined;
}
