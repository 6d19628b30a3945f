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
