import type { Origin } from "@limbwright/shared/finding";
import type { Change, ChangeKind, RaisedNumber } from "./change.ts";

/** What one version of a protocol is called and where it stands. */
export interface ComparedVersion {
  readonly name: string;
  readonly title?: string;
  readonly version?: string;
  readonly status?: string;
  readonly origin: Origin;
  /** The rule file in which it is kept, where it is not read from its text. */
  readonly ruleFile?: string;
  /** "sha256:…", where the protocol is whole enough to have one. */
  readonly meaning?: string;
}

/** Something that could not be compared. Beside one of these nothing is said to be unchanged. */
export interface NotCompared {
  readonly side: "before" | "now" | "both";
  readonly limit: string;
  readonly origin?: Origin;
}

/** A time over all runs, in either version: "earliest release after the injection", "30:00", "20:00". */
export interface ComparedTime {
  readonly what: string;
  readonly before: string;
  readonly now: string;
  readonly kind: "same" | "looser" | "tighter" | "not-decided";
}

/** Whether the version was raised as the changes ask. A version that is missing was not raised; a draft is judged like any other. */
export interface VersionRaise {
  readonly before?: string;
  readonly now?: string;
  /** The number that the changes ask to be raised. */
  readonly needed: RaisedNumber;
  readonly raised: RaisedNumber | "lowered";
  readonly isEnough: boolean;
}

/** Two versions of one protocol, or a protocol that only one side has. */
export interface ProtocolComparison {
  readonly protocol: string;
  /** `nothing`: no change was found and everything was compared. `not-decided`: not everything could be compared. */
  readonly outcome: "nothing" | "changed" | "not-decided" | "added" | "removed";
  readonly before?: ComparedVersion;
  readonly now?: ComparedVersion;
  /** Sorted: by kind, then in the order of `ChangedPart` and of the text. */
  readonly changes: readonly Change[];
  readonly notCompared: readonly NotCompared[];
  readonly times: readonly ComparedTime[];
  readonly version: VersionRaise;
}

/** How many changes there are of each kind. */
export type ChangeCounts = Readonly<Record<ChangeKind, number>>;

/** Two versions of a file, a folder or a whole site. */
export interface SiteComparison {
  /** In the order of their names. */
  readonly protocols: readonly ProtocolComparison[];
  /** Files and texts that could not be read or paired, and other limits that belong to no one protocol. */
  readonly notCompared: readonly NotCompared[];
}
