import type { Site } from "../lower/site.ts";
import { blockAt } from "./block-at.ts";

/** One way to write an amount, with its parts in order. */
export interface AmountForm {
  readonly label: string;
  readonly says: string;
  readonly parts: readonly { readonly label: string; readonly says: string }[];
}

export interface Signature {
  readonly forms: readonly AmountForm[];
  readonly form: number;
  readonly part: number;
}

const AMOUNT = {
  label: "AMOUNT",
  says: "a mass, a volume, or one per body weight: 200 mg, 40 mL, 3 mg/kg, 0.6 mL/kg",
};
const SECOND = { label: "OTHER", says: "another amount of the same kind" };

/** Every form of an amount; the plain one first. */
const FORMS: readonly (AmountForm & { readonly words: RegExp; readonly second: RegExp })[] = [
  { label: "AMOUNT", says: "As it is.", parts: [AMOUNT], words: /^$/, second: /^$/ },
  {
    label: "AMOUNT up to LIMIT",
    says: "Never more than the limit.",
    parts: [AMOUNT, { label: "LIMIT", says: "the most that is given" }],
    words: /\bup\b/,
    second: /\bup to\b/,
  },
  {
    label: "AMOUNT rounded down to STEP",
    says: "The largest multiple of the step that is not over the amount.",
    parts: [AMOUNT, { label: "STEP", says: "what it is a multiple of, such as 1 mL" }],
    words: /\brounded\b/,
    second: /\brounded down to\b/,
  },
  {
    label: "lesser of AMOUNT and OTHER",
    says: "The smaller of exactly two.",
    parts: [AMOUNT, SECOND],
    words: /\blesser\b/,
    second: /\blesser of\b.*\band\b/,
  },
  {
    label: "greater of AMOUNT and OTHER",
    says: "The larger of exactly two.",
    parts: [AMOUNT, SECOND],
    words: /\bgreater\b/,
    second: /\bgreater of\b.*\band\b/,
  },
  {
    label: "SHARE of AMOUNT",
    says: "A share of the one amount that follows.",
    parts: [{ label: "SHARE", says: "half, or a percentage such as 80 %" }, AMOUNT],
    words: /\b(?:half|%) of\b|\bhalf\b/,
    second: /\b(?:half|%) of\b/,
  },
  {
    label: "by weight { RANGE AMOUNT }",
    says: "A table: a range and an amount a line.",
    parts: [{ label: "RANGE", says: "such as 45 kg to under 60 kg" }, AMOUNT],
    words: /\bby\b/,
    second: /\bby \w+ \{\s*\S/,
  },
];

/** The forms of an amount while one is written, and which part of which form the cursor stands in. */
export function signatureAt(site: Site, file: string, offset: number): Signature | undefined {
  const document = site.documentOf(file);
  if (!document) return undefined;
  const { before, typed, isInText } = blockAt(document.textDocument.getText(), offset);
  const statement = `${before} ${typed}`.trimEnd();
  const written = /^(?:amount|rate|total up to|pressure)\b(.*)$/.exec(`${statement} `)?.[1];
  if (written === undefined || isInText) return undefined;
  // The last form begun is the one being written.
  const form = FORMS.reduce((chosen, { words, label }, index) => {
    const at = index === 0 ? 0 : written.search(words);
    const chosenAt = chosen === 0 ? 0 : written.search(FORMS[chosen]?.words ?? /$/);
    return label !== "" && at > chosenAt ? index : chosen;
  }, 0);
  const part = FORMS[form]?.second.test(written) ? 1 : 0;
  return {
    forms: FORMS.map(({ label, says, parts }) => ({ label, says, parts })),
    form,
    part: form === 0 ? 0 : part,
  };
}
