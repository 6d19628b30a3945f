import { compareOrigins, type Repair } from "@limbwright/shared/finding";
import { type Interval, inBase, intersect, isEmpty, quantity, rational } from "@limbwright/shared/quantity";
import type { CuffSet, Patients } from "../../model/index.ts";
import { lineInside, needsALook } from "../../model/text-changes.ts";
import { bandFaults, rangeText, regionText } from "../../population/index.ts";
import type { Rule, RuleContext } from "../engine/definition.ts";
import { type Detected, found, HOLDS, type Judgement, undecided } from "../engine/judgement.ts";

export const rule: Rule = { judge };

/** cm, see the sources. */
const WIDEST_THIGH = inBase(quantity(rational("100"), "cm"));

function judge({ protocol, box }: RuleContext): Judgement {
  const { cuffs, patients } = protocol;
  if (!cuffs) return undecided("the cuffs were not understood");
  if (!cuffs.fits) return undecided("the cuffs do not say which limbs they fit (`fits`)", cuffs.origin);
  const fits = limitToThigh(cuffs, cuffs.fits.interval);
  const circumference = box.circumference;
  if (circumference) {
    const [first, ...others] = bandFaults([fits], circumference).gaps;
    if (!first) return HOLDS;
    const repairs = coverOnly(patients, intersect(circumference, fits));
    return found({ ...doesNotFit(cuffs, fits, [first, ...others], circumference), repairs });
  }
  if (!patients || patients.incomplete) return undecided("whom the protocol covers was not understood");
  return found({
    origin: cuffs.fits.origin,
    severity: "doubtful",
    what: `The cuff fits limbs of ${rangeText(fits, "cm")}, and \`patients\` does not say how large their limbs are.`,
    label: "patients of any limb size are covered",
    next: `Add \`circumference ${rangeText(fits, "cm")}\` to \`patients\`, so that the team measures the limb first.`,
    repairs: writeCircumference(patients, fits),
    related: [{ origin: patients.origin, note: "no circumference here" }],
  });
}

/** No cuff is said to fit a thigh over the published limit. */
function limitToThigh(cuffs: CuffSet, fits: Interval): Interval {
  const isOver =
    cuffs.place?.value === "thigh" && !(fits.upper && fits.upper.value.compare(WIDEST_THIGH) <= 0);
  return isOver ? { ...fits, upper: { value: WIDEST_THIGH, closed: true } } : fits;
}

function doesNotFit(cuffs: CuffSet, fits: Interval, gaps: readonly Interval[], covered: Interval): Detected {
  const everybody = bandFaults(gaps, covered).gaps.length === 0;
  const ranges = gaps.map((gap) =>
    regionText({ ranges: { circumference: gap }, exact: true, everybody: false }),
  );
  return {
    origin: cuffs.fits?.origin ?? cuffs.origin,
    what: `The cuff fits limbs of ${rangeText(fits, "cm")} and not every patient: ${ranges.join("; ")}.`,
    label: "does not fit every patient",
    next: "Cover only limbs that it fits (`circumference` of `patients`), or write a protocol for a second cuff.",
    patients: { ranges, exact: true, everybody },
  };
}

/** Nothing where that would be nobody. */
function coverOnly(patients: Patients | undefined, range: Interval): Repair[] {
  const written = patients?.bounds.circumference;
  if (!written || isEmpty(range)) return [];
  const text = rangeText(range, "cm");
  return needsALook(`Cover only a circumference of ${text}`, { origin: written.origin, text });
}

/** Behind the last of the ranges that are there. */
function writeCircumference({ bounds, origin }: Patients, fits: Interval): Repair[] {
  const last = Object.values(bounds)
    .map(({ origin }) => origin)
    .sort(compareOrigins)
    .at(-1);
  const line = `circumference ${rangeText(fits, "cm")}`;
  return last && fits.lower && fits.upper
    ? needsALook(`Write ${line} in patients`, lineInside(origin, last, line))
    : [];
}
