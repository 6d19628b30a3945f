import type { FileCheck } from "../../check/check.ts";
import type { Summary } from "./tally.ts";

/**
 * Writes findings in one form, piece by piece, so that thousands of files need no more memory than one.
 * Joined together the pieces are the whole output.
 */
export interface Report {
  readonly start: () => string;
  readonly file: (check: FileCheck) => string;
  readonly end: (end: ReportEnd) => string;
}

export interface ReportEnd {
  readonly summary: Summary;
  readonly unread: readonly Unread[];
  /** Findings left out because a baseline has them; undefined where there is no baseline. */
  readonly known?: number;
}

/** A file that could not be read, or a folder that could not be searched, and why. */
export interface Unread {
  readonly file: string;
  /** A sentence: what, where and why. */
  readonly what: string;
  /** A sentence: what to do. */
  readonly next: string;
}
