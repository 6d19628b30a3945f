import type { FileCheck } from "@limbwright/language";
import { FINDINGS_FORMAT } from "@limbwright/language";
import type { Finding } from "@limbwright/shared/finding";
import { Trouble } from "../workspace/trouble.ts";

/**
 * The findings of an earlier `limb check --json`. A finding is known when the baseline has one of the same
 * rule, severity and words, about the same protocol (or in the same file, where several share it); on
 * which line it stands does not matter. Each of the baseline's findings makes one known; accepted ones make
 * none, so that what counts again after its acceptance has ended is new.
 */
export class Baseline {
  private readonly all = new Set<string>();
  private readonly left = new Map<string, number>();
  private knownSoFar = 0;

  /** Reads a baseline from the text of its file. Throws `Trouble` when it is something else. */
  constructor(text: string, name: string) {
    for (const { findings, protocols } of readRecordedFiles(text, name)) {
      const own = protocols.map((protocol) => protocol.name);
      for (const finding of findings) {
        if (finding.accepted) continue;
        const key = keyOf(finding, own);
        this.all.add(key);
        this.left.set(key, (this.left.get(key) ?? 0) + 1);
      }
    }
  }

  /** How many findings it has known. */
  get known(): number {
    return this.knownSoFar;
  }

  /** A check without the findings that are known. */
  onlyNew(check: FileCheck): FileCheck {
    const own = check.protocols.map(({ protocol }) => protocol.name);
    const here = new Set(check.findings);
    const findings = check.findings.filter((finding) => !this.takes(finding, own));
    const kept = new Set(findings);
    const isNew = (finding: Finding) =>
      here.has(finding) ? kept.has(finding) : !this.all.has(keyOf(finding, own));
    const protocols = check.protocols.map((one) => ({ ...one, findings: one.findings.filter(isNew) }));
    return { ...check, findings, protocols };
  }

  /** Whether a finding is known; one of the baseline's own is used up by it. */
  private takes(finding: Finding, own: readonly string[]): boolean {
    const key = keyOf(finding, own);
    const left = this.left.get(key) ?? 0;
    if (finding.accepted || left === 0) return false;
    this.left.set(key, left - 1);
    this.knownSoFar += 1;
    return true;
  }
}

type Recorded = Pick<Finding, "rule" | "severity" | "what" | "protocol" | "accepted" | "origin">;

interface RecordedFile {
  readonly findings: readonly Recorded[];
  readonly protocols: readonly { readonly name: string }[];
}

/**
 * What makes two findings the same. In a file that protocols share a finding is told once, for whichever of
 * them came first, so there the file counts; `own` are the protocols of the file that was checked.
 */
function keyOf(finding: Recorded, own: readonly string[]): string {
  const { rule, severity, protocol, origin, what } = finding;
  const isOwn = protocol !== undefined && own.includes(protocol);
  return JSON.stringify([rule, severity, isOwn ? { protocol } : { file: origin.file }, what]);
}

function readRecordedFiles(text: string, name: string): RecordedFile[] {
  const value = parseJson(text);
  if (!isRecord(value) || !("formatVersion" in value)) throw notABaseline(name);
  if (value.formatVersion !== FINDINGS_FORMAT) {
    throw new Trouble({
      file: name,
      what: `The baseline ${name} has format ${String(value.formatVersion)}; this version reads format ${FINDINGS_FORMAT}.`,
      next: "Write it again with `limb check --json` of this version.",
    });
  }
  if (value.onlyNew !== false) {
    throw new Trouble({
      file: name,
      what: `The baseline ${name} was itself written with --since, so it lists only what was new then.`,
      next: "Write one with `limb check --json`, without --since.",
    });
  }
  if (!Array.isArray(value.files) || !value.files.every(isRecordedFile)) throw notABaseline(name);
  return value.files;
}

function parseJson(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return undefined;
  }
}

function isRecord(value: unknown): value is Readonly<Record<string, unknown>> {
  return typeof value === "object" && value !== null && !Array.isArray(value);
}

function isRecordedFile(value: unknown): value is RecordedFile {
  return (
    isRecord(value) &&
    Array.isArray(value.findings) &&
    value.findings.every(isRecorded) &&
    Array.isArray(value.protocols) &&
    value.protocols.every((one) => isRecord(one) && typeof one.name === "string")
  );
}

function isRecorded(value: unknown): value is Recorded {
  return (
    isRecord(value) &&
    [value.rule, value.severity, value.what].every((word) => typeof word === "string") &&
    isRecord(value.origin) &&
    typeof value.origin.file === "string"
  );
}

function notABaseline(name: string): Trouble {
  return new Trouble({
    file: name,
    what: `The baseline ${name} is not what \`limb check --json\` writes.`,
    next: "Write one with `limb check --json > baseline.json`, then name that file.",
  });
}
