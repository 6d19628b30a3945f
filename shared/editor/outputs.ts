import type { Finding } from "../finding/index.ts";

/** The rule file of every protocol of a text as it stands in the editor. `null` is answered where the text is not known. */
export const COMPILE = "limbwright/compile";

/** The bedside sheet of every protocol of a text, in the same way. */
export const SHEETS = "limbwright/sheets";

export interface OutputAsked {
  readonly uri: string;
  /** To be marked as a draft, although unsafe findings stand. */
  readonly draft: boolean;
}

export interface SheetsAsked extends OutputAsked {
  /** Of the syringe, in mL: a decimal text over zero, such as "0.5". */
  readonly graduation: string;
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
    };

/** A new protocol to start from. `null` is answered where the name or the title cannot be one. */
export const TEMPLATE = "limbwright/template";

/** Where its cuffs can sit. */
export const TEMPLATE_CUFF_PLACES = ["upper-arm", "forearm", "calf", "thigh", "ankle"] as const;

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
