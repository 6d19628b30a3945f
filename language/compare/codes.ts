import { CODES, MEASURES } from "./generated/codes.ts";

/**
 * What a change does to a protocol. `no-longer-safe`: a rule finds something unsafe, and did not before. `looser`: a patient, a run or a value is allowed that was not. `tighter`: one is no
 * longer allowed. `different`: neither can be said, or both sides cannot be held against each other. `needs-a-reader`: a
 * text changed that a person has to judge. `wording`: something is written otherwise and means the same.
 *
 * Where a change is both looser and tighter it is `looser`, and shows both: nothing is netted.
 */
export type ChangeKind = "no-longer-safe" | "looser" | "tighter" | "different" | "needs-a-reader" | "wording";

/** From the one that most needs to be looked at. */
export const CHANGE_KINDS: readonly ChangeKind[] = [
  "no-longer-safe",
  "looser",
  "different",
  "tighter",
  "needs-a-reader",
  "wording",
];

/** Which number of a version a change asks to be raised: 1 in 1.4.0 is the first. `none`: the standing of a document alone. */
export type RaisedNumber = "first" | "second" | "third" | "none";

/** What changed, by the name that programs ask for. */
export type ChangeCode = keyof typeof CODES;

/** The part of a protocol that changed. */
export type ChangedPart = (typeof CODES)[ChangeCode]["part"];

/** In the order in which changes are told. */
export const CHANGED_PARTS: readonly ChangedPart[] = [
  ...new Set(Object.values(CODES).map(({ part }) => part)),
];

/** One kind of change, as the page of codes has it. */
interface KnownChange {
  readonly part: ChangedPart;
  /** "The amount of a dose". */
  readonly title: string;
  /** The way in which a bound asks for more. */
  readonly tighter?: "higher" | "lower";
  /** What makes it looser, tighter or another kind, and the number of the version that it then asks for. */
  readonly kinds: readonly {
    readonly kind: ChangeKind;
    readonly when: string;
    readonly raises: RaisedNumber;
  }[];
  /** Rules of the catalogue that look at the same. */
  readonly near: readonly string[];
}

export function knownChange(code: ChangeCode): KnownChange {
  const { measure, ...change } = CODES[code];
  return { ...change, ...MEASURES[measure] };
}

/** What makes a change one of a kind; undefined where its code cannot be of that kind. */
export function kindOfCode(code: ChangeCode, kind: ChangeKind) {
  return knownChange(code).kinds.find((one) => one.kind === kind);
}

/** One kind of change for whoever reads of it. */
export interface ListedChange extends Omit<KnownChange, "tighter"> {
  readonly code: ChangeCode;
}

/** Every kind of change, in the order in which they are told. */
export const changeList: readonly ListedChange[] = (Object.keys(CODES) as ChangeCode[]).map((code) => {
  const { part, title, kinds, near } = knownChange(code);
  return { code, part, title, kinds, near };
});

/** What a change is, as a page of Markdown. */
export function changePage({ code, title, kinds, near }: ListedChange): string {
  const kindLine = ({ kind, when, raises }: ListedChange["kinds"][number]) =>
    `- *${kind.replaceAll("-", " ")}*: ${when} ${raises === "none" ? "No number of the version has to be raised." : `The ${raises} number of the version has to be raised.`}`;
  const parts = [
    `# ${code}`,
    `${title}: \`limb compare\` reports such a change under this code.`,
    "## What kind of change it is",
    kinds.map(kindLine).join("\n"),
    kinds.length > 1 &&
      "Where several apply, the first one counts. They are never set off against one another, and each is shown.",
    near.length > 0 && `## Rules about the same thing\n\n${near.map((rule) => `\`${rule}\``).join(", ")}.`,
  ];
  return `${parts.filter(Boolean).join("\n\n")}\n`;
}
