import { messageLines, tellRunShortly } from "@limbwright/language/editor";
import type { ProofState } from "@limbwright/shared/editor";
import type { Finding, Severity } from "@limbwright/shared/finding";
import {
  type ClientCapabilities,
  type Connection,
  type Diagnostic,
  type DiagnosticRelatedInformation,
  DiagnosticSeverity,
  DiagnosticTag,
  type WorkDoneProgressServerReporter,
} from "vscode-languageserver";
import type { Trouble } from "../../workspace/trouble.ts";
import type { Folder } from "../folders/folder.ts";
import { locationOf, rangeOf } from "../places.ts";

/** Sends the diagnostics of files to the client, each file's only when they are others than before. */
export class Publisher {
  readonly #connection: Connection;
  /** How a link to the page of a rule is written, with `{rule}` in place of its id; the client says so when it starts. */
  readonly #link: string | undefined;
  /** What was sent of each folder, by URI, as text that can be compared. */
  readonly #sent = new Map<string, Map<string, string>>();

  constructor(connection: Connection, link: string | undefined) {
    this.#connection = connection;
    this.#link = link;
  }

  /** Takes all that is found in a folder now; what is no longer found there vanishes. */
  show(folder: Folder, findings: ReadonlyMap<string, readonly Finding[]>): void {
    const before = this.#sent.get(folder.uri) ?? new Map<string, string>();
    const now = new Map<string, string>();
    for (const file of new Set([...findings.keys(), ...folder.listed])) {
      const diagnostics = this.#diagnosticsOf(folder, file, findings.get(file) ?? []);
      if (diagnostics.length > 0) now.set(folder.uriOf(file), JSON.stringify(diagnostics));
    }
    this.#sent.set(folder.uri, now);
    for (const uri of before.keys()) if (!now.has(uri)) this.#send(uri, "[]");
    for (const [uri, text] of now) if (before.get(uri) !== text) this.#send(uri, text);
  }

  #diagnosticsOf(folder: Folder, file: string, findings: readonly Finding[]): Diagnostic[] {
    const trouble = folder.troubleOf(file);
    const own = findings.map((finding) => diagnosticOf(finding, folder, this.#link));
    return trouble ? [troubleDiagnostic(trouble), ...own] : own;
  }

  #send(uri: string, text: string): void {
    this.#connection.sendDiagnostics({ uri, diagnostics: JSON.parse(text) }).catch(() => {});
  }
}

const SEVERITY: Readonly<Record<Severity, DiagnosticSeverity>> = {
  error: DiagnosticSeverity.Error,
  unsafe: DiagnosticSeverity.Error,
  doubtful: DiagnosticSeverity.Warning,
  advice: DiagnosticSeverity.Information,
};

const SOURCE = "limb";
/** Beside what was found before the last change. */
const STALE_SOURCE = "limb, before the last change";

/** A finding as the editor shows it. */
function diagnosticOf(finding: Finding, folder: Folder, link: string | undefined): Diagnostic {
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
function troubleDiagnostic({ what, next }: Trouble): Diagnostic {
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
  return [...related, ...told].map((one) => ({ location: locationOf(folder, one), message: one.note }));
}

/** How long work goes on before it is shown, in ms. */
const PATIENCE = 1000;

/** Shows the client that a check goes on, once it takes more than a second, and lets it be stopped there. */
export class Progress {
  readonly #connection: Connection;
  readonly #isSupported: boolean;
  readonly #stop: () => void;
  #waiting: ReturnType<typeof setTimeout> | undefined;
  #shown: Promise<WorkDoneProgressServerReporter> | undefined;

  constructor(connection: Connection, client: ClientCapabilities, stop: () => void) {
    this.#connection = connection;
    this.#isSupported = client.window?.workDoneProgress ?? false;
    this.#stop = stop;
  }

  follow(state: ProofState): void {
    if (!this.#isSupported) return;
    if (!state.isRunning) this.#end();
    else if (this.#shown !== undefined) this.#report(state);
    else this.#waiting ??= setTimeout(() => this.#begin(), PATIENCE);
  }

  #begin(): void {
    this.#shown = this.#connection.window.createWorkDoneProgress().then((progress) => {
      progress.begin("Limbwright: going through the runs", undefined, undefined, true);
      progress.token.onCancellationRequested(this.#stop);
      return progress;
    });
    this.#shown.catch(() => {});
  }

  #report({ protocols, filesLeft }: ProofState): void {
    const left = protocols.filter(({ state }) => state === "stale").length + filesLeft;
    this.#shown?.then((progress) => progress.report(`${left} still to be checked`)).catch(() => {});
  }

  #end(): void {
    clearTimeout(this.#waiting);
    this.#waiting = undefined;
    this.#shown?.then((progress) => progress.done()).catch(() => {});
    this.#shown = undefined;
  }
}
