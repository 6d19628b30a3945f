import type { JudgedFile, ScenarioResult } from "@limbwright/language";
import type { ComparisonRefused } from "@limbwright/shared/editor";
import type { CommitListed } from "../../workspace/last-commit.ts";

/** What is asked of the thread in which protocols are proven. Files are known by their folder's URI and their path in it. */
export type ProverRequest =
  | {
      readonly kind: "text";
      readonly folder: string;
      readonly file: string;
      readonly text: string | undefined;
    }
  | { readonly kind: "close"; readonly folder: string }
  /** The last commit of a folder is another, or there is none. */
  | { readonly kind: "commit"; readonly folder: string; readonly commit: CommitListed | undefined }
  | ProverTask;

/** What is answered, by its number. */
type ProverTask = {
  readonly folder: string;
  readonly on: string;
  readonly task: number;
} & (
  | {
      readonly kind: "judge";
      readonly file: string;
      /** Whether it is open in the editor: what is found in it is then remembered for the next change. */
      readonly isOpen: boolean;
    }
  /** `scenario` is its title. */
  | { readonly kind: "run-scenario"; readonly file: string; readonly scenario: string }
  | ({ readonly kind: "compare" } & ToCompare)
);

/** Files of a folder as they stand now, and what they are compared with. */
export interface ToCompare {
  readonly now: VersionToCompare;
  readonly before: VersionToCompare & {
    /** The texts of its files, and of those that they use. */
    readonly texts: ReadonlyMap<string, string>;
    /** A rule file instead of files: its path and its text. */
    readonly ruleFile?: { readonly path: string; readonly text: string };
  };
}

interface VersionToCompare {
  readonly files: readonly string[];
  readonly name: string;
}

/** Requests that somebody waits for: the next key does not interrupt them. */
export type AwaitedRequest = Extract<ProverRequest, { kind: "run-scenario" | "compare" }>;

/** Whether a request is answered. */
export function isAsked(request: ProverRequest): request is ProverTask {
  return request.kind === "judge" || isAwaited(request);
}

export function isAwaited(request: ProverRequest): request is AwaitedRequest {
  return request.kind === "run-scenario" || request.kind === "compare";
}

export interface ProverAnswer {
  readonly task: number;
  /** What was judged; undefined where there is no such file, or where it was interrupted. */
  readonly judged?: JudgedFile;
  /** What the scenario came to; undefined where there is none. */
  readonly ran?: ScenarioResult;
  /** The comparison as markup, or why there is none; undefined where it was cancelled. */
  readonly compared?: { readonly markup: string } | ComparisonRefused;
  /** What went wrong in the program; a fault of ours. */
  readonly fault?: string;
}

/** A thread that answers requests in their order. */
export interface ProverThread {
  readonly post: (request: ProverRequest) => void;
  readonly onAnswer: (take: (answer: ProverAnswer) => void) => void;
  /** Interrupts the judging of a task and of those before it; each is still answered. */
  readonly interrupt: (task: number) => void;
  /** Ends a comparison that nobody waits for any more; it is still answered. */
  readonly cancel: (task: number) => void;
  readonly end: () => void;
}
