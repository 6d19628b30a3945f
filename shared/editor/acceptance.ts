/** The server asks the client for what an acceptance needs; the client answers `null` when nothing is to be accepted. */
export const ASK_FOR_REASON = "limbwright/askForReason";

export interface AcceptanceAsked {
  readonly rule: string;
  readonly protocol: string;
}

export interface AcceptanceReason {
  readonly because: string;
  /** The role that decides, such as "Pharmacy". */
  readonly by: string;
  /** The last day it holds, YYYY-MM-DD. */
  readonly until: string;
}
