import { amountText, type Endpoint, type Interval, type Rational } from "@limbwright/shared/quantity";
import { type Dose, massUnitOf, type Protocol } from "../model/index.ts";
import { type DoseRow, doseRows } from "../outputs/table/rows.ts";
import { type Box, type Expression, type Extreme, findExtremes, rangeText } from "../population/index.ts";
import { boxOf } from "../rules/engine/judge.ts";
import { drawingUpIn } from "../rules/facts/syringes.ts";

/** What a dose is for one patient, in words. */
export interface SampleAmount {
  readonly patient: string;
  readonly amount: string;
}

/** A dose for the lightest, a middle and the heaviest patient. Empty where that cannot be said. */
export function sampleAmounts(protocol: Protocol, dose: Dose): SampleAmount[] {
  const box = findCoveredBox(protocol);
  if (!box) return [];
  const rows = (box.weight && doseRows(dose, box, drawingUpIn(protocol))) ?? [];
  const chosen = new Set([rows[0], rows[Math.floor(rows.length / 2)], rows.at(-1)]);
  return [...chosen].flatMap((row) => (row ? sampleOf(row) : []));
}

/** The patients a protocol covers; undefined where that is not said, or was not understood: then no number is shown. */
export function findCoveredBox(protocol: Protocol): Box | undefined {
  const { patients } = protocol;
  return patients && !patients.boundsIncomplete ? boxOf(protocol) : undefined;
}

function sampleOf(row: DoseRow): SampleAmount[] {
  const { weight } = row.patient;
  const amount = weight && (row.rate ? infusionText(row, row.rate) : givenText(row, weight));
  return weight && amount ? [{ patient: amountText(weight, "kg"), amount }] : [];
}

function infusionText({ dose, total, isMassRate, isMassTotal }: DoseRow, rate: Rational): string {
  const unit = isMassTotal && dose.total ? massUnitOf({ amount: dose.total }) : "mL";
  const most = total ? `, up to ${amountText(total, unit)} in all` : "";
  return `${amountText(rate, `${isMassRate ? massUnitOf(dose) : "mL"}/h`)}${most}`;
}

/** A rescue emulsion is thought of by volume alone. Undefined where there is no amount. */
function givenText({ dose, mass, volume, share }: DoseRow, weight: Rational): string | undefined {
  const heavy = dose.agent?.kind?.value === "rescue" && volume ? undefined : mass;
  const unit = massUnitOf(dose);
  const parts = [
    heavy && amountText(heavy, unit),
    volume && amountText(volume, "mL"),
    heavy && amountText(heavy.div(weight), `${unit === "mcg" ? unit : "mg"}/kg`),
  ].filter(Boolean);
  if (parts.length === 0) return undefined;
  const ofMaximum = share
    ? `, ${share.of.mul(100).round(0).toString()} % of the maximum ${share.maximum}`
    : "";
  return `${parts.join(" = ")}${ofMaximum}`;
}

/** "27 to 78 mL": what an amount is over all patients of a box; undefined where that has no limit or is not known. */
export function spanOver(expression: Expression | undefined, box: Box, symbol: string): string | undefined {
  const answer = expression && findExtremes(expression, box);
  if (answer?.kind !== "extremes") return undefined;
  const [lower, upper] = [edgeOf(answer.least), edgeOf(answer.greatest)];
  if (!lower || !upper) return undefined;
  const span: Interval = { lower, upper };
  return rangeText(span, symbol).replace("exactly ", "");
}

function edgeOf(extreme: Extreme): Endpoint | undefined {
  return extreme.kind === "endless"
    ? undefined
    : { value: extreme.value, closed: extreme.kind === "attained" };
}
