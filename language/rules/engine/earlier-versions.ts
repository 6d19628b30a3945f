import type { Protocol } from "../../model/index.ts";
import type { ComparedWithEarlier } from "./definition.ts";
import type { RunsFor } from "./runs-for.ts";

/** Gives earlier versions of protocols. Rules know nothing of how two versions are compared: whoever gives these does it. */
export interface EarlierVersions {
  /** How to compare a protocol with its earlier version; undefined where it has none, or says the same as it. */
  readonly of: (protocol: Protocol, options: ComparingOptions) => CompareWithEarlier | undefined;
  /** What the answers for the protocols of a file hang on beside what each of them says; others where it is another. */
  readonly restsOn: (file: string) => string;
}

/** Compares a protocol, whose runs are gone through once for all that ask, with its earlier version. */
export type CompareWithEarlier = (explored: RunsFor) => ComparedWithEarlier;

export interface ComparingOptions {
  /** The day on which both versions are judged, YYYY-MM-DD. */
  readonly on: string;
  readonly isCancelled?: () => boolean;
}
