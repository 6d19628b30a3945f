import { acceptanceFor } from "@limbwright/language/editor";
import {
  type AcceptanceReason,
  ASK_FOR_REASON,
  type RunAsked,
  STEP_THROUGH_COMMAND,
} from "@limbwright/shared/editor";
import { type Finding, type Repair, SEVERITIES } from "@limbwright/shared/finding";
import { type CodeAction, CodeActionKind, MessageType, ShowMessageNotification } from "vscode-languageserver";
import type { Folder } from "../folders/folder.ts";
import { overlaps, positionOf, rangeOf, textEditsOf } from "../places.ts";
import { type AskedText, findText, inText, type Service } from "../service.ts";

/** What a client calls to accept a finding; the reason is asked for then. */
export const ACCEPT = "limbwright.acceptFinding";
/** To let a finding stand is no fix, and no refactoring either: a kind of its own. */
export const LEAVE = "limbwright.accept";
export const FIX_ALL = `${CodeActionKind.SourceFixAll}.limb`;

/**
 * The repairs of what is found at a place, each said to be safe or to need a look; all safe repairs of a file at once;
 * stepping through the run of a finding, and, apart from all that mends, letting it stand with a reason, where the client can do
 * its part.
 */
export function offerActions(service: Service): void {
  service.connection.onCodeAction(
    inText(service, (asked, { range, context: { only } }) => {
      const findings = service.checker.findingsOf(asked);
      const here = findings.filter(({ origin }) => overlaps(rangeOf(origin), range));
      const isWanted = ({ kind = "" }: CodeAction) =>
        !only || only.some((one) => kind === one || kind.startsWith(`${one}.`));
      return [
        ...here.flatMap((finding) => repairsOf(asked.folder, finding)),
        ...here.flatMap((finding) => runsToStepThrough(service, asked, finding)),
        ...fixAll(asked, findings),
        // Last, and of another kind: whoever asks for a fix alone is not offered to leave things as they are.
        ...here.flatMap((finding) => acceptances(service, asked, finding)),
      ].filter(isWanted);
    }),
  );
  service.connection.onExecuteCommand(({ command, arguments: given }) =>
    command === ACCEPT ? accept(service, given?.[0]) : undefined,
  );
}

function repairsOf(folder: Folder, { repairs }: Finding): CodeAction[] {
  return repairs.map((repair) => ({
    title: `${repair.title} (${repair.safety === "safe" ? "safe: the meaning stays" : "needs a look"})`,
    kind: CodeActionKind.QuickFix,
    isPreferred: repair.safety === "safe",
    edit: { changes: textEditsOf(folder, repair.changes) },
  }));
}

function fixAll({ folder, file }: AskedText, findings: readonly Finding[]): CodeAction[] {
  const safe = findings.flatMap(({ repairs }) => repairs).filter(({ safety }) => safety === "safe");
  const apart = safe.filter((repair, index) => !safe.slice(0, index).some((other) => collide(repair, other)));
  const own = apart.filter(({ changes }) => changes.every(({ origin }) => origin.file === file));
  if (own.length === 0) return [];
  const changes = textEditsOf(
    folder,
    own.flatMap((repair) => repair.changes),
  );
  return [{ title: "Make all safe repairs", kind: FIX_ALL, edit: { changes } }];
}

function collide(a: Repair, b: Repair): boolean {
  return a.changes.some((one) =>
    b.changes.some(
      (other) =>
        one.origin.file === other.origin.file &&
        one.origin.start.offset <= other.origin.end.offset &&
        other.origin.start.offset <= one.origin.end.offset,
    ),
  );
}

function runsToStepThrough(
  { canStepThroughRuns }: Service,
  { document }: AskedText,
  { rule, run, origin }: Finding,
): CodeAction[] {
  if (!canStepThroughRuns || !run) return [];
  const title = `Step through the run that breaks ${rule}`;
  const asked: RunAsked = { uri: document.uri, rule, range: rangeOf(origin) };
  const command = { title, command: STEP_THROUGH_COMMAND, arguments: [asked] };
  return [{ title, kind: CodeActionKind.QuickFix, command }];
}

function acceptances({ canAskForReason }: Service, asked: AskedText, finding: Finding): CodeAction[] {
  const { site, file } = asked;
  const { rule, severity, protocol } = finding;
  if (!canAskForReason || protocol === undefined) return [];
  const place = acceptanceFor(site, file, protocol, finding);
  if (!place || finding.accepted || finding.stale) return [];
  const title = `Leave it as it is: accept ${rule} in ${place.file}, with a reason … (mends nothing)`;
  const request = { uri: asked.document.uri, rule, severity, protocol };
  const command = { title, command: ACCEPT, arguments: [request] };
  return [{ title, kind: LEAVE, command }];
}

/** Asks for the reason, the role and the end, and writes the acceptance only when all are there. */
async function accept(service: Service, request: unknown): Promise<void> {
  const { connection } = service;
  const { uri, rule, protocol, ...given } = (request ?? {}) as Record<string, unknown>;
  const severity = SEVERITIES.find((one) => one === given.severity);
  if (typeof uri !== "string" || typeof rule !== "string" || typeof protocol !== "string" || !severity)
    return;
  const reason = await connection.sendRequest<AcceptanceReason | null>(ASK_FOR_REASON, { rule, protocol });
  const asked = findText(service, { uri });
  const place = asked && acceptanceFor(asked.site, asked.file, protocol, { rule, severity });
  if (!reason || !asked || !place) return;
  const parts = [reason.because, reason.by].map((part) => part.replace(/["\s]+/g, " ").trim());
  if (parts.some((part) => part === "") || !/^\d{4}-\d{2}-\d{2}$/.test(reason.until)) {
    const message =
      "Nothing was accepted: a finding is accepted with a reason, the role that decides, and the last day it holds (YYYY-MM-DD).";
    await connection.sendNotification(ShowMessageNotification.type, { type: MessageType.Error, message });
    return;
  }
  const [because = "", by = ""] = parts;
  const start = positionOf(place.at);
  const newText = place.text({ because, by, until: reason.until });
  await connection.workspace.applyEdit({
    changes: { [asked.folder.uriOf(place.file)]: [{ range: { start, end: start }, newText }] },
  });
}
