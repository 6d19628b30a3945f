import type { FileCheck } from "@limbwright/language";
import { FINDINGS_FORMAT } from "@limbwright/language";
import type { Finding } from "@limbwright/shared/finding";
import { Trouble } from "../workspace/trouble.ts";

/**
 * The findings of an earlier `limb check --json`. A finding is known when the baseline has one of the same
 * rule, severity, protocol (or file, outside a protocol) and words; where it stands does not matter, so
 * that lines may move. Each of the baseline's findings makes one known; accepted ones make none, so that
 * what counts again after its acceptance has ended is new.
 */
export class Baseline {
  private readonly left = new Map<string, number>();
  private knownSoFar = 0;

  /** Reads a baseline from the text of its file. Throws `Trouble` when it is something else. */
  constructor(text: string, name: string) {
    for (const finding of findingsOf(text, name)) {
      const key = keyOf(finding);
      if (!finding.accepted) this.left.set(key, (this.left.get(key) ?? 0) + 1);
    }
  }

  /** How many findings it has known. */
  get known(): number {
    return this.knownSoFar;
  }

  /** A check without the findings that are known. */
  onlyNew(check: FileCheck): FileCheck {
    return { ...check, findings: check.findings.filter((finding) => !this.knows(finding)) };
  }

  private knows(finding: Finding): boolean {
    const key = keyOf(finding);
    const left = this.left.get(key) ?? 0;
    if (finding.accepted || left === 0) return false;
    this.left.set(key, left - 1);
    this.knownSoFar += 1;
    return true;
  }
}

type Recorded = Pick<Finding, "rule" | "severity" | "what" | "protocol" | "accepted" | "origin">;

function keyOf({ rule, severity, protocol, origin, what }: Recorded): string {
  return JSON.stringify([
    rule,
    severity,
    protocol ?? null,
    protocol === undefined ? origin.file : null,
    what,
  ]);
}

function findingsOf(text: string, name: string): Recorded[] {
  const value = parsed(text);
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
  if (!Array.isArray(value.files)) throw notABaseline(name);
  const findings = value.files.flatMap((file: unknown) => (isRecord(file) ? file.findings : undefined));
  if (!findings.every(isRecorded)) throw notABaseline(name);
  return findings;
}

function parsed(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return undefined;
  }
}

function isRecord(value: unknown): value is Readonly<Record<string, unknown>> {
  return typeof value === "object" && value !== null && !Array.isArray(value);
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
