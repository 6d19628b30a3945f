import type { Finding } from "@limbwright/shared/finding";
import type { Finding as FileFinding } from "@limbwright/shared/rule-file";
import { writePart, writingWith } from "./codec.ts";
import type { Marks } from "./marks.ts";
import { inFixedOrder } from "./values.ts";

/** What was found, for a draft. Errors are not among it: while there are any, there is no draft either. */
export function findingParts(
  marks: Marks,
  findings: readonly Finding[],
  isAccepted: (finding: Finding) => boolean,
): FileFinding[] {
  return inFixedOrder(
    findings.flatMap((finding) => {
      const { severity, origin } = finding;
      if (severity === "error") return [];
      const part = writePart(writingWith(marks), "Finding", {
        ...finding,
        severity,
        accepted: isAccepted(finding),
      });
      return [marks.at(part, origin)];
    }),
  );
}
