import { messageLines, tellRunShortly } from "@limbwright/language/editor";
import type { Finding, Severity } from "@limbwright/shared/finding";
import {
  type Diagnostic,
  type DiagnosticRelatedInformation,
  DiagnosticSeverity,
  DiagnosticTag,
} from "vscode-languageserver";
import type { Trouble } from "../../workspace/trouble.ts";
import type { Folder } from "../folders/folder.ts";
import { rangeOf } from "../places.ts";

const SEVERITY: Readonly<Record<Severity, DiagnosticSeverity>> = {
  error: DiagnosticSeverity.Error,
  unsafe: DiagnosticSeverity.Error,
  doubtful: DiagnosticSeverity.Warning,
  advice: DiagnosticSeverity.Information,
};

const SOURCE = "limb";
/** Beside what was found before the last change. */
const STALE_SOURCE = "limb, before the last change";

/** How a link to the page of a rule is written, with `{rule}` in place of its id; the client says so when it starts. */
export type RulePageLink = string | undefined;

/** A finding as the editor shows it. */
export function diagnosticOf(finding: Finding, folder: Folder, link: RulePageLink): Diagnostic {
  const { rule, severity, accepted, stale } = finding;
  return {
    range: rangeOf(finding.origin),
    severity: accepted ? DiagnosticSeverity.Hint : SEVERITY[severity],
    code: rule,
    ...(link !== undefined && { codeDescription: { href: link.replace("{rule}", rule) } }),
    source: stale ? STALE_SOURCE : SOURCE,
    message: messageLines(finding).join("\n"),
    relatedInformation: relatedInformationOf(finding, folder),
    ...(rule === "unreachable-step" && { tags: [DiagnosticTag.Unnecessary] }),
  };
}

/** What stands in the way of reading a file, at its beginning. */
export function troubleDiagnostic({ what, next }: Trouble): Diagnostic {
  const start = { line: 0, character: 0 };
  return {
    range: { start, end: start },
    severity: DiagnosticSeverity.Error,
    source: SOURCE,
    message: `${what}\n${next}`,
  };
}

/** Other places that belong to a finding, then the run that shows it, told shortly: each step with its time. */
function relatedInformationOf({ related, run }: Finding, folder: Folder): DiagnosticRelatedInformation[] {
  const steps = run ? tellRunShortly(run) : [];
  const told = steps.flatMap(({ origins: [origin], time, what, after }) =>
    origin ? [{ origin, note: `${time}  ${what}${after === "" ? "" : `: ${after}`}` }] : [],
  );
  return [...related, ...told].map(({ origin, note }) => ({
    location: { uri: folder.uriOf(origin.file), range: rangeOf(origin) },
    message: note,
  }));
}
