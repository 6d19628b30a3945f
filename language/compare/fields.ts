import type { Origin } from "@limbwright/shared/finding";
import { durationText, inBase, type Quantity, type Rational } from "@limbwright/shared/quantity";
import { type Duration, quantityWords, type Written, type WrittenQuantity } from "../model/index.ts";
import { compare, type Expression, patientText, type Witness } from "../population/index.ts";
import { amountText, whom } from "../rules/engine/evidence.ts";
import { durationWords } from "../runs/index.ts";
import { type ChangeCode, kindOfCode, knownChange } from "./codes.ts";
import type { ChangeEvidence, PatientExample, PatientsConcerned } from "./comparison.ts";
import { partedByKey } from "./pairing.ts";
import { isWrittenAlike } from "./same.ts";
import { bothSides, type Covered, type FoundChange, kindOf, partedChanges } from "./side.ts";

/** Something with one value: what its change is called, and what it is called in a sentence, "The ceiling of the cuff pressure". */
interface NamedField {
  readonly code: ChangeCode;
  readonly about: string;
  readonly name: string;
}

/**
 * A plain field as one row of a table: its code says how it is measured, one of the others gives its value. A `value` is told in
 * words; `key` says by what two are the same if not by these words; where there is none on either side, nothing is known of it.
 */
export type Field<T> = {
  readonly code: ChangeCode;
  readonly name: (now: T) => string;
} & (
  | {
      readonly value: (one: T) => Written<string> | undefined;
      readonly key?: (one: T) => string | undefined;
      /** The sentence where it is another one than "NAME is NOW now; before, BEFORE." */
      readonly what?: (name: string, now: string, before: string) => string;
    }
  | { readonly limit: (one: T) => WrittenQuantity | undefined }
  | { readonly duration: (one: T) => Duration | undefined }
  | { readonly texts: (one: T) => readonly Written<string>[] }
);

/** What is otherwise in the plain fields of something. */
export function fieldChanges<T>(
  fields: readonly Field<T>[],
  about: string,
  before: T,
  now: T,
): FoundChange[] {
  return fields.flatMap((field) => {
    const named = { code: field.code, about, name: field.name(now) };
    if ("limit" in field) return limitChange(named, field.limit(before), field.limit(now));
    if ("duration" in field) return durationChange(named, field.duration(before), field.duration(now));
    if ("texts" in field) return textChanges(field.code, named.name, field.texts(before), field.texts(now));
    const { value, key = (one: T) => value(one)?.value ?? NOT_STATED, what = isNow } = field;
    const [was, is] = [key(before), key(now)];
    return was !== undefined && was === is ? [] : [valueChange(named, value(before), value(now), what)];
  });
}

export const NOT_STATED = "not stated";

/** "The ceiling of the cuff pressure is 320 mmHg now; before, 300 mmHg." */
function isNow(name: string, now: string, before: string): string {
  return `${name} is ${now} now; before, ${before}.`;
}

function valueChange(
  { code, about, name }: NamedField,
  before: Written<string> | undefined,
  now: Written<string> | undefined,
  what = isNow,
): FoundChange {
  return {
    code,
    about,
    what: what(name, now?.value ?? NOT_STATED, before?.value ?? NOT_STATED),
    ...bothSides(before, now, ({ value }) => value),
  };
}

/** Something in words, with its place. */
function written<T extends { readonly origin: Origin }>(one: T | undefined, words: (one: T) => string) {
  return one && { value: words(one), origin: one.origin };
}

/** A bound that rose, fell, came or went: decided by the value alone. A missing bound asks for nothing. */
export function limitChange(
  named: NamedField,
  before: WrittenQuantity | undefined,
  now: WrittenQuantity | undefined,
): FoundChange[] {
  const isTighter = asksMore(knownChange(named.code).tighter ?? "higher", before, now);
  if (isTighter === undefined) return [];
  // The looser value itself passes the one bound and not the other.
  const looser = isTighter ? before : now;
  const lets = isTighter ? "passed before and does not now" : "passes now and did not before";
  const says = `${named.name}: ${looser ? quantityWords(looser) : "any value"} ${lets}.`;
  return [
    {
      ...valueChange(named, written(before, quantityWords), written(now, quantityWords)),
      kind: kindOf(!isTighter, isTighter),
      evidence: [valueEvidence(!isTighter, says)],
    },
  ];
}

export function valueEvidence(isLooser: boolean, says: string): ChangeEvidence {
  return { kind: "value", side: isLooser ? "looser" : "tighter", says };
}

/** Whether the later bound asks for more than the earlier one; undefined where both ask for the same. */
export function asksMore(
  tighter: "higher" | "lower",
  before: Quantity | undefined,
  now: Quantity | undefined,
): boolean | undefined {
  if (!before || !now) return before === now ? undefined : before === undefined;
  const side = inBase(now).compare(inBase(before));
  if (side === 0) return undefined;
  return tighter === "higher" ? side > 0 : side < 0;
}

/** A time that may be shorter or longer than before is looser; one that no longer may be is tighter. */
function durationChange(
  named: NamedField,
  before: Duration | undefined,
  now: Duration | undefined,
): FoundChange[] {
  const { gained, lost } = spansBetween(before, now);
  if (gained.length + lost.length === 0) return [];
  return [
    {
      ...valueChange(named, written(before, durationWords), written(now, durationWords)),
      kind: kindOf(gained.length > 0, lost.length > 0),
      evidence: [
        ...gained.map((span) => valueEvidence(true, `${span} is allowed now and was not before.`)),
        ...lost.map((span) => valueEvidence(false, `${span} was allowed before and is not now.`)),
      ],
    },
  ];
}

/** The times that only one version allows, in words. One that is not stated says nothing about how long it takes. */
function spansBetween(before: Duration | undefined, now: Duration | undefined) {
  if (!before || !now) {
    const any = ["Any other time"];
    return { gained: before && !now ? any : [], lost: now && !before ? any : [] };
  }
  return { gained: spansBeyond(now, before), lost: spansBeyond(before, now) };
}

/** What one duration allows and the other does not. */
function spansBeyond(one: Duration, other: Duration): string[] {
  if (isBefore(one, other) || isBefore(other, one)) return [wholeSpan(one)];
  const shorter = one.shortest.compare(other.shortest) < 0;
  const { longest: most } = other;
  const longer = most !== undefined && (one.longest === undefined || one.longest.compare(most) > 0);
  const upTo = one.longest ? `up to ${durationText(one.longest)}` : "without limit";
  return [
    ...(shorter ? [`Less than ${durationText(other.shortest)}, down to ${durationText(one.shortest)},`] : []),
    ...(longer ? [`More than ${durationText(most)}, ${upTo},`] : []),
  ];
}

/** Whether all of one is shorter than all of another. */
function isBefore({ longest }: Duration, { shortest }: Duration): boolean {
  return longest !== undefined && longest.compare(shortest) < 0;
}

function wholeSpan({ shortest, longest }: Duration): string {
  const least = durationText(shortest);
  if (!longest) return `A time of ${least} or more`;
  return longest.equals(shortest) ? `Just ${least}` : `A time of ${least} to ${durationText(longest)}`;
}

/** Texts of which only a person can say whether they still mean the same. */
export function textChanges(
  code: ChangeCode,
  about: string,
  before: readonly Written<string>[],
  now: readonly Written<string>[],
): FoundChange[] {
  const text = ({ value }: Written<string>) => value;
  const change = (what: string, old?: Written<string>, recent?: Written<string>): FoundChange => ({
    code,
    about,
    what,
    ...bothSides(old, recent, text),
  });
  return partedChanges(
    partedByKey(before, now, text, text),
    (old, recent) =>
      old.value === recent.value
        ? []
        : [change(`The ${about} reads “${recent.value}” now; before, “${old.value}”.`, old, recent)],
    (one, isNew) =>
      isNew
        ? change(`The ${about} “${one.value}” is new.`, undefined, one)
        : change(`The ${about} “${one.value}” is no longer there.`, one),
  );
}

/** How an amount, a limit or a pressure changed over the patients of a box. */
export interface AmountDifference {
  readonly more?: PatientsConcerned;
  readonly less?: PatientsConcerned;
  /** Why it could not be decided. */
  readonly limit?: string;
  /** Whether it is the same for whom both cover, and another for some whom only the later version covers. */
  readonly forOthers?: true;
}

/** What more and less are called, and what they do. */
export interface Directions {
  readonly unit: string;
  readonly more: string;
  readonly less: string;
  readonly moreIs: PatientsConcerned["side"];
  readonly lessIs: PatientsConcerned["side"];
}

/** Holds two functions of the patient against each other, exactly, over every patient whom both versions cover. */
export function amountDifference(
  before: Expression,
  now: Expression,
  { both: box, now: covered }: Covered,
  { unit, more, less, moreIs, lessIs }: Directions,
): AmountDifference {
  if (isWrittenAlike(before, now)) return {};
  if (!box) return { limit: NOBODY };
  const upwards = compare(now, "at-most", before, box);
  const downwards = compare(now, "at-least", before, box);
  const limit = [upwards, downwards].flatMap((one) => (one.kind === "not-decided" ? [one.limit] : []))[0];
  const rising = concerned(upwards, { unit, direction: more, side: moreIs, word: "more" });
  const falling = concerned(downwards, { unit, direction: less, side: lessIs, word: "less" });
  if (!rising && !falling && limit === undefined) {
    return compare(now, "equal", before, covered).kind === "holds" ? {} : { forOthers: true };
  }
  return {
    ...(rising && { more: rising }),
    ...(falling && { less: falling }),
    ...(limit !== undefined && { limit }),
  };
}

export const NOBODY = "no patient is covered by both versions";

function concerned(
  answer: ReturnType<typeof compare>,
  {
    unit,
    direction,
    side,
    word,
  }: Pick<PatientsConcerned, "direction" | "side"> & Record<"unit" | "word", string>,
): PatientsConcerned | undefined {
  if (answer.kind !== "broken") return undefined;
  const { regions, clean, worst } = answer;
  const amount = (value: Rational) => amountText(value, unit);
  // The witness holds the later amount on its left, the earlier one on its right.
  const shown = ({ patient, left, right, excess }: Witness): PatientExample => ({
    patient: patientText(patient) || "every patient",
    before: amount(right),
    now: amount(left),
    difference: `${amount(excess)} ${word}`,
  });
  const example = shown(clean);
  const greatest = worst.kind === "attained" ? shown(worst) : undefined;
  return {
    kind: "patients",
    direction,
    side,
    ...whom(regions),
    example,
    ...(greatest && greatest.patient !== example.patient && { greatest }),
  };
}

/** An amount that is another: for whom, and by how much. Empty where it is the same for everybody. */
export function amountChange(
  told: FoundChange,
  { more, less, limit, forOthers }: AmountDifference,
  isRescue = false,
): FoundChange[] {
  const evidence = [more, less].filter((one) => one !== undefined);
  if (evidence.length === 0 && limit === undefined && !forOthers) return [];
  const isUnclear = isRescue || (limit !== undefined && !more);
  const found = { ...told, evidence, ...(limit !== undefined && { notDecided: limit }) };
  if (!kindOfCode(told.code, "looser")) return [found];
  if (!forOthers)
    return [{ ...found, kind: isUnclear ? "different" : kindOf(more !== undefined, less !== undefined) }];
  return [
    {
      ...found,
      kind: "needs-a-reader",
      what: `${told.what} It is the same for the patients whom both versions cover, and another for some whom only the new one covers.`,
      isOfFirstNumber: isRescue,
    },
  ];
}
