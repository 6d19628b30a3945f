import type { Finding } from "../finding/index.ts";
import type { RunStepShown, TextRange } from "./preview.ts";

/** The rule file of every protocol of a text as it stands in the editor. `null` is answered where the text is not known. */
export const COMPILE = "limbwright/compile";

/** The bedside sheet of every protocol of a text, in the same way. */
export const SHEETS = "limbwright/sheets";

export interface OutputAsked {
  readonly uri: string;
  /** To be marked as a draft, although unsafe findings stand. */
  readonly draft: boolean;
}

/** What is to be written for one protocol, or why nothing is. The server writes no file; that is the client's. */
export type Output =
  | {
      readonly kind: "written";
      readonly protocol: string;
      /** The name of the file, to stand beside the protocol's own. */
      readonly name: string;
      readonly text: string;
      /** "sha256:…" */
      readonly meaning: string;
    }
  | {
      readonly kind: "refused";
      readonly protocol: string;
      /** One sentence that says why. */
      readonly because: string;
      /** The findings that stand in the way. */
      readonly findings: readonly Finding[];
      /** The rules that stand in the way because nobody could decide them. */
      readonly open: readonly { readonly rule: string; readonly limit: string }[];
    };

/** A new protocol to start from. `null` is answered where the name or the title cannot be one. */
export const TEMPLATE = "limbwright/template";

/** Where its cuffs can sit. */
export const TEMPLATE_CUFF_PLACES = ["upper-arm", "forearm", "calf", "thigh", "ankle"] as const;

/** What a protocol can be called. */
export const PROTOCOL_NAME = /^[a-z][a-z0-9]*(-[a-z0-9]+)*$/;

/** "wrist-reduction" is "Wrist reduction". */
export function titleOf(name: string): string {
  return `${name.charAt(0).toUpperCase()}${name.slice(1).replaceAll("-", " ")}`;
}

export interface TemplateAsked {
  readonly name: string;
  readonly title: string;
  readonly place: (typeof TEMPLATE_CUFF_PLACES)[number];
  /** The path of the formulary from the new file, with / between folders. */
  readonly formulary: string;
}

export interface Template {
  readonly protocol: string;
  /** For a folder that has none yet. */
  readonly formulary: string;
}

/** The page of a rule in Markdown, with the caution. `null` is answered where there is no such rule. */
export const RULE_PAGE = "limbwright/rulePage";

export interface RulePageAsked {
  readonly rule: string;
}

/** What a text allows, asks and says otherwise than an earlier one. `null`: the text is not known. */
export const COMPARISON = "limbwright/comparison";

export interface ComparisonAsked {
  /** The later text, as it stands now. */
  readonly uri: string;
  /** Where the earlier version stands: the same place, or another file of the folder, which may be a rule file. */
  readonly beforeUri: string;
  /** What the two are called: "the last commit", "approved/wrist.limb". */
  readonly beforeName: string;
  readonly nowName: string;
  /** Earlier texts by their URIs, that of `beforeUri` among them. A file that is not here is read as it stands now. */
  readonly earlier: Readonly<Record<string, string>>;
}

/** Why nothing can be compared with what counts as the earlier version. */
export interface ComparisonRefused {
  readonly refused: string;
}

/** A comparison as a page. Every text of a protocol in it is a text, never markup. */
export interface ComparisonPage {
  /** The body of the page. What has `data-side`, `data-file` and `data-line` stands for that line of that version. */
  readonly markup: string;
  readonly style: string;
  /** The URIs of the files that the page speaks of, by the names that it gives them. */
  readonly files: Readonly<Record<string, string>>;
  /** The URIs of the files that the earlier text uses and of which no earlier text was given. */
  readonly asTheyStand: readonly string[];
}

/** The scenarios of a text, in its order. `null` is answered where the text is not known. */
export const SCENARIOS = "limbwright/scenarios";

export interface ScenariosAsked {
  readonly uri: string;
}

export interface ListedScenario {
  /** Its title, by which it is asked for. */
  readonly name: string;
  readonly protocol: string;
  /** Its heading. */
  readonly range: TextRange;
}

/** Runs one scenario of a text. `null` is answered where there is none of that name. */
export const RUN_SCENARIO = "limbwright/runScenario";

/**
 * The command of the code lens at a scenario, with its text's URI and its name as arguments. It is the client's: it asks
 * for `RUN_SCENARIO` and shows what comes.
 */
export const RUN_SCENARIO_COMMAND = "limbwright.runScenario";

export interface RunScenarioAsked {
  readonly uri: string;
  readonly scenario: string;
}

/** What a scenario came to. What is not decided is no pass, and is not to be shown as one. */
export interface ScenarioRan extends ListedScenario {
  readonly outcome: "passed" | "failed" | "not-decided";
  /** Why the scenario as a whole is not decided. */
  readonly limit?: string;
  readonly lines: readonly ScenarioLineRan[];
  /** What happened, from the beginning of the case. */
  readonly steps: readonly RunStepShown[];
  /** Whether the text, or one that it uses, has changed since it was asked for. */
  readonly isStale: boolean;
  /** To be shown with it. */
  readonly caution: string;
}

export interface ScenarioLineRan {
  readonly range: TextRange;
  /** `done`: it says who the patient is, or made something happen. */
  readonly outcome: "done" | "passed" | "failed" | "not-decided";
  readonly expected?: string;
  /** What was found; of a line that is not decided, why. */
  readonly found?: string;
  /** When that was, in words. */
  readonly when?: string;
  /** How many of the steps had happened by then. */
  readonly told: number;
}

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

/**
 * Where the server runs without a file system of its own, it asks the client for the files of a folder, by its URI: the
 * paths in it of every `.limb` file, with / between folders.
 */
export const LIST_FILES = "limbwright/listFiles";

export interface ListFilesAsked {
  readonly folder: string;
}

/** It asks for the text of one of them; the client answers `null` where there is no such file. */
export const READ_FILE = "limbwright/readFile";

export interface ReadFileAsked {
  readonly uri: string;
}

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

/**
 * The client tells the server that its folders are trusted now. A client that does not trust them at first says `isTrusted: false` in
 * its initialization options; then the server starts no other program. It has no params.
 */
export const TRUST_GRANTED = "limbwright/trustGranted";
