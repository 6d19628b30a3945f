import type { Finding, RunLine } from "@limbwright/shared/finding";
import type { Finding as FileFinding, RunLine as FileRunLine } from "@limbwright/shared/rule-file";
import type { Marks } from "./marks.ts";
import { inFixedOrder } from "./values.ts";

/** What was found, for a draft. Errors are not among it: while there are any, there is no draft either. */
export function findingParts(
  marks: Marks,
  findings: readonly Finding[],
  isAccepted: (finding: Finding) => boolean,
): FileFinding[] {
  const parts = findings.flatMap((finding) =>
    finding.severity === "error" ? [] : [findingPart(marks, finding, finding.severity, isAccepted(finding))],
  );
  return inFixedOrder(parts);
}

function findingPart(
  marks: Marks,
  finding: Finding,
  severity: FileFinding["severity"],
  accepted: boolean,
): FileFinding {
  const { rule, origin, what, label, why, next, patients, run } = finding;
  const part: FileFinding = {
    rule,
    severity,
    what,
    label,
    why,
    next,
    related: finding.related.map(({ note, origin: place }) => marks.at({ note }, place)),
    ...(patients && {
      patients: {
        ranges: [...patients.ranges],
        exact: patients.exact,
        everybody: patients.everybody,
        ...(patients.worst && { worst: { ...patients.worst } }),
        ...(patients.example && { example: { ...patients.example } }),
      },
    }),
    ...(run && { run: { lines: run.lines.map((line) => linePart(marks, line)) } }),
    accepted,
  };
  return marks.at(part, origin);
}

function linePart(marks: Marks, { time, what, after, origin }: RunLine): FileRunLine {
  return marks.at({ time, what, after }, origin);
}
