import { type Adjuvant, amountWords, canonicalName, type Dose } from "../model/index.ts";
import { type AmountDifference, amountDifference, evidenceIn } from "./amounts.ts";
import { aboutDose, directionsFor, kindFor } from "./dose-directions.ts";
import { partedByKey } from "./parted.ts";
import { bothSides, type Covered, type FoundChange, type Sides } from "./side.ts";

/** The drugs that are mixed into a dose. */
export function adjuvantChanges(before: Dose, now: Dose, { covered }: Sides): FoundChange[] {
  const { pairs, gone, added } = partedByKey(before.adjuvants, now.adjuvants, (one) =>
    canonicalName(nameOf(one)),
  );
  return [
    ...pairs.flatMap(([old, recent]) => amountChange(now, old, recent, covered)),
    ...gone.map((old) =>
      mixedChange(now, `${nameOf(old)} is no longer mixed into \`${now.name}\`.`, old, undefined),
    ),
    ...added.map((recent) =>
      mixedChange(now, `${nameOf(recent)} is mixed into \`${now.name}\` now.`, undefined, recent),
    ),
  ];
}

function nameOf({ agent }: Adjuvant): string {
  return agent?.name ?? "a drug that is not known";
}

function mixedChange(
  dose: Dose,
  what: string,
  before: Adjuvant | undefined,
  now: Adjuvant | undefined,
): FoundChange {
  return {
    kind: "different",
    about: aboutDose(dose),
    what,
    ...bothSides(before, now, (one) => `with ${nameOf(one)}`),
    isOfFirstNumber: true,
  };
}

function amountChange(dose: Dose, before: Adjuvant, now: Adjuvant, covered: Covered): FoundChange[] {
  const found = difference(before, now, covered);
  const evidence = evidenceIn(found);
  if (evidence.length === 0 && found.limit === undefined && !found.forOthers) return [];
  const told = ({ amount }: Adjuvant) => (amount ? amountWords(amount.node) : "not stated");
  return [
    {
      kind: found.forOthers ? "needs-a-reader" : kindFor(now, found),
      about: aboutDose(dose),
      what: `${nameOf(now)} in \`${dose.name}\` is ${told(now)} now; before, ${told(before)}.`,
      ...bothSides(before, now, told),
      evidence,
      ...(found.limit !== undefined && { notDecided: found.limit, isOfFirstNumber: true }),
    },
  ];
}

function difference(before: Adjuvant, now: Adjuvant, covered: Covered): AmountDifference {
  if (before.mass && now.mass)
    return amountDifference(before.mass, now.mass, covered, directionsFor(now, "mg"));
  if (before.volume && now.volume) {
    return amountDifference(before.volume, now.volume, covered, directionsFor(now, "mL"));
  }
  return { limit: "both amounts cannot be told in one unit" };
}
