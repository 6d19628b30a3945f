import { eachPlaceOnce } from "@limbwright/shared/finding";
import { allSteps, type Cuff, type Protocol, type Step } from "../../model/index.ts";
import type { Rule } from "../engine/definition.ts";
import { type Detected, found } from "../engine/judgement.ts";

export const rule: Rule = {
  judge: ({ protocol }) =>
    found(...eachPlaceOnce([...allSteps(protocol)]).flatMap((step) => inStep(step, protocol))),
};

/** Notes on a step of one cuff that name the other one, and this one nowhere. */
function inStep(step: Step, { cuffs }: Protocol): Detected[] {
  const cuff = cuffOf(step);
  const own = cuffs?.cuffs.find(({ name }) => name === cuff);
  if (!own) return [];
  const others = (cuffs?.cuffs ?? []).filter((one) => one !== own);
  return step.notes.flatMap((note) => {
    if (names(own, note)) return [];
    const other = others.find((one) =>
      clausesOf(note).some((clause) => names(one, clause) && !TOLD.test(clause)),
    );
    return other ? [tell(step, note, own, other)] : [];
  });
}

function cuffOf(step: Step): string | undefined {
  const { kind } = step;
  if (kind !== "inflate" && kind !== "deflate" && kind !== "confirm") return undefined;
  return step.cuffs.kind === "all" ? undefined : step.cuffs.name;
}

/** The other cuff may be told of: it stays as it is, or was dealt with before. */
const TOLD =
  /\b(?:not|never|no|stays?|remains?|keep\w*|still|is|was|while|after|before|once|until|holds?|already|instead of|flat|up|next)\b/i;

function clausesOf(note: string): string[] {
  return note.split(/[.;:!?,()—–]|\b(?:and|but)\b/i).map((clause) => clause.trim());
}

/** Whether words speak of a cuff by its name or label: "white", "the white one", "the white cuff", not "fingers go white". */
function names({ name, label }: Cuff, words: string): boolean {
  return [name, label ?? ""].some((word) => {
    if (word.trim() === "") return false;
    const plain = word.trim().replace(/[.*+?^${}()|[\]\\/]/g, "\\$&");
    const noun = "(?:one|cuff|tourniquet|tube|tubing|hose|line|gauge|button|tap|valve|port)";
    return new RegExp(
      `(?<![\\w-])${plain} ${noun}\\b|\\bthe ${plain}$|^${plain}$|${noun} ${plain}(?![\\w-])`,
      "i",
    ).test(words);
  });
}

function tell({ origin }: Step, note: string, own: Cuff, other: Cuff): Detected {
  return {
    origin,
    what: `The note "${note}" names ${words(other)}; the step is of ${words(own)}.`,
    label: "the other cuff",
    next: "Name the cuff of the step in the note, or no cuff at all; if the step is of the wrong cuff, mend the step.",
    related: [{ origin: own.origin, note: "the cuffs" }],
  };
}

function words({ name, label }: Cuff): string {
  return label === undefined ? `\`${name}\`` : `\`${name}\` ("${label}")`;
}
