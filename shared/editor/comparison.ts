import type { Finding, Verdict } from "../finding/index.ts";

/** What the check says otherwise of a text than of an earlier one of the same file. `null`: neither has a protocol. */
export const COMPARISON = "limbwright/comparison";

export interface ComparisonAsked {
  readonly uri: string;
  /** The earlier text; what it uses is read as it stands now. */
  readonly before: string;
}

/**
 * What is found and decided otherwise. It does not compare what the protocols allow: a change that no rule finds is not told
 * here, and nothing here says that two protocols are the same.
 */
export interface CheckComparison {
  readonly protocols: readonly {
    readonly protocol: string;
    readonly isIn: "both" | "before" | "now";
    readonly appeared: readonly Finding[];
    readonly vanished: readonly Finding[];
    readonly verdicts: readonly {
      readonly rule: string;
      readonly before: Verdict["kind"];
      readonly now: Verdict["kind"];
    }[];
  }[];
  /** Says what was not compared. */
  readonly limit: string;
  /** To be shown with it. */
  readonly caution: string;
}
