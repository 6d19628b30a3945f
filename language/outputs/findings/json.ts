import type { FileCheck } from "../../check/check.ts";
import { rulesThatHold } from "../../rules/engine/judge.ts";
import { faultReport } from "./faults.ts";
import { type Report, type ReportEnd, reportHead } from "./tally.ts";

/**
 * The number of the form, raised by any change that a reader could notice. `findings.schema.json` beside
 * this file describes it.
 */
export const FINDINGS_FORMAT = 1;

export interface JsonReportOptions {
  /** The version of the program that writes. */
  readonly version: string;
  /** The day on which dates were judged, YYYY-MM-DD. */
  readonly on: string;
  /** Whether findings that a baseline has were left out. */
  readonly onlyNew: boolean;
  /** Whether to add what single faults do to each rule. */
  readonly faults?: boolean;
}

/** Findings and verdicts for other programs, as one JSON document: a line a file, in the order of the check. */
export function jsonReport({ version, on, onlyNew, faults = false }: JsonReportOptions): Report {
  let separator = "";
  return {
    start: () => {
      const head = {
        ...reportHead(FINDINGS_FORMAT, version),
        judgedOn: on,
        onlyNew,
      };
      return `${JSON.stringify(head).slice(0, -1)},\n"files":[`;
    },
    file: (check) => {
      const text = `${separator}\n${JSON.stringify(fileValue(check, faults))}`;
      separator = ",";
      return text;
    },
    end: (end) =>
      `\n],\n"unread":${JSON.stringify(end.unread)},\n"summary":${JSON.stringify(summaryValue(end))}}\n`,
  };
}

function fileValue({ file, findings, protocols }: FileCheck, withFaults: boolean) {
  return {
    file,
    findings,
    protocols: protocols.map(({ protocol, verdicts, notJudged, explored }) => ({
      name: protocol.name,
      ...(protocol.version && { version: protocol.version.value }),
      verdicts,
      notJudged,
      leansOn: explored.promisesOf(rulesThatHold(verdicts)),
      ...(withFaults && { faults: faultReport(explored.faults(rulesThatHold(verdicts))) }),
    })),
  };
}

function summaryValue({ summary, known }: ReportEnd) {
  const { files, protocols, bySeverity, accepted, holding, notDecided, notJudged } = summary;
  const counts = { files, protocols, findings: bySeverity, accepted, holding, notDecided, notJudged };
  return known === undefined ? counts : { ...counts, known };
}
