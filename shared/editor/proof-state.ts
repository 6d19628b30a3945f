/** The server tells the client, without being asked, how far the check of each protocol has come. */
export const PROOF_STATE = "limbwright/proofState";

/** A request without params, answered once all that was sent before is checked and what was found is shown. */
export const WHEN_CHECKED = "limbwright/whenChecked";

export interface ProofState {
  /** Whether something is still to be checked. */
  readonly isRunning: boolean;
  readonly protocols: readonly ProtocolState[];
  /** How many files are still to be read for the first time, or were not because the check was stopped: what is in them is not known. */
  readonly filesLeft: number;
}

/**
 * What is known of one protocol. `stale`: its text has changed since its runs were gone through; what is shown of them is
 * from before. `not-decided`: nothing was found, but some rule is not decided, which is not a pass.
 */
export interface ProtocolState {
  readonly uri: string;
  readonly protocol: string;
  readonly state: "holds" | "broken" | "not-decided" | "stale";
  /**
   * How much of an alarm it is: an error or something unsafe is an error; something doubtful or not decided is a warning; advice,
   * and what is accepted with a reason, is none.
   */
  readonly alarm: "error" | "warning" | "none";
  /** In words: "all 77 rules hold", "2 unsafe, 1 not decided". */
  readonly words: string;
}
