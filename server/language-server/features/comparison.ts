import { type JudgedFile, judgeFile, Site } from "@limbwright/language";
import { CAUTION } from "@limbwright/language/editor";
import { type CheckComparison, COMPARISON, type ComparisonAsked } from "@limbwright/shared/editor";
import type { Finding } from "@limbwright/shared/finding";
import { type Feature, inText } from "../service.ts";

const LIMIT =
  "Only what the rules find and decide is compared. What a change allows that no rule finds is not told here; read both texts.";

/** What the check says otherwise of an earlier text of a file. */
export const comparison: Feature = {
  offers: () => ({ experimental: { comparison: true } }),
  register: (service) => {
    service.connection.onRequest(COMPARISON, ({ uri, before }: ComparisonAsked): CheckComparison | null =>
      inText(service, { textDocument: { uri } }, ({ folder, file }) => {
        const on = service.checker.day;
        const judged = (text: string | undefined) =>
          judgeFile(new Site((one) => (one === file ? text : folder.textOf(one))), file, { on });
        return compared(judged(before), judged(folder.textOf(file)));
      }),
    );
  },
};

function compared(before: JudgedFile | undefined, now: JudgedFile | undefined): CheckComparison | null {
  const names = new Set([before, now].flatMap((one) => one?.protocols.map(({ name }) => name) ?? []));
  if (names.size === 0) return null;
  const protocols = [...names].map((protocol): CheckComparison["protocols"][number] => {
    const [old, recent] = [before, now].map((one) => one?.protocols.find(({ name }) => name === protocol));
    const [oldFindings = [], findings = []] = [old?.findings, recent?.findings];
    return {
      protocol,
      isIn: old && recent ? "both" : old ? "before" : "now",
      appeared: without(findings, oldFindings),
      vanished: without(oldFindings, findings),
      verdicts: (recent?.verdicts ?? []).flatMap(({ rule, kind }) => {
        const was = old?.verdicts.find((verdict) => verdict.rule === rule)?.kind;
        return was !== undefined && was !== kind ? [{ rule, before: was, now: kind }] : [];
      }),
    };
  });
  return { protocols, limit: LIMIT, caution: CAUTION };
}

/** Findings whose rule and words are not among others; where they stand does not matter. */
function without(findings: readonly Finding[], others: readonly Finding[]): Finding[] {
  const known = new Set(others.map(keyOf));
  return findings.filter((finding) => !known.has(keyOf(finding)));
}

function keyOf({ rule, what, accepted }: Finding): string {
  return `${accepted ? "accepted" : ""} ${rule} ${what}`;
}
