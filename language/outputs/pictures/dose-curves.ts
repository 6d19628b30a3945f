import type { DoseCurve } from "@limbwright/shared/pictures";
import { contains, type Interval, ratio } from "@limbwright/shared/quantity";
import type { AmountNode, Dose, Maximum, Protocol } from "../../model/index.ts";
import { type Box, type Expression, type Patient, rangeText, valueOn } from "../../population/index.ts";
import { boxOf } from "../../rules/engine/judge.ts";
import { isVolumeLimit, limitExpression, limitText } from "../../rules/facts/maximum.ts";
import { capInForce } from "../table/cap.ts";
import { bandsIn, type RowPatient, rowPatients } from "../table/patients.ts";
import {
  type Along,
  agentText,
  alongWeight,
  linkTo,
  piecesAbove,
  pointOf,
  stretchesOf,
  type TwoAmounts,
  whoText,
} from "./along-weight.ts";

/** The curves of a protocol's own doses over weight, for each group of patients who differ in more than weight. */
export function doseCurvesOf(protocol: Protocol, id: string): DoseCurve[] {
  const box = boxOf(protocol);
  const own = protocol.doses.filter(({ emergency }) => emergency === undefined);
  return own.flatMap((dose) => {
    const groups = groupsOf(dose, box);
    return groups.flatMap(({ patient, ranges }, at) => {
      const who = groups.length > 1 ? whoText(ranges) : "";
      return curveOf(dose, box, patient, { id: `${id}-${dose.name}-${at + 1}`, who });
    });
  });
}

/** The patients between whom the dose or its maximum changes, apart from weight. */
function groupsOf({ amount, agent }: Dose, box: Box): RowPatient[] {
  if (!amount || !box.weight?.lower || !box.weight.upper) return [];
  const { weight: _alongTheAxis, ...bands } = bandsIn([amount.node], agent?.maxima ?? []);
  return rowPatients(box, undefined, bands) ?? [];
}

function curveOf(
  dose: Dose,
  box: Box,
  patient: Patient,
  { id, who }: { readonly id: string; readonly who: string },
): DoseCurve[] {
  const { agent, amount, mass, volume } = dose;
  const unit = mass ? "mg" : "mL";
  const given = mass ?? volume;
  const weight = box.weight ?? {};
  const maxima = (agent?.maxima ?? []).filter(
    (maximum) => isVolumeLimit(maximum) === (unit === "mL") && isFor(maximum, patient),
  );
  const limit = lowest(maxima.map(limitExpression));
  const along = given && alongWeight(given, weight, patient);
  const limitAlong = limit && alongWeight(limit, weight, patient);
  const [first, last] = [weight.lower?.value, weight.upper?.value];
  if (!given || !amount || !along || !first || !last) return [];
  const over =
    limit && limitAlong
      ? overOf({ upper: given, lower: limit, upperAlong: along, lowerAlong: limitAlong }, patient, weight)
      : [];
  return [
    {
      id,
      title: `${dose.name}: ${agentText(dose)} over weight${who}`,
      description: descriptionOf(along, unit, maxima),
      unit,
      from: first.valueOf(),
      to: last.valueOf(),
      dose: stretchesOf(along),
      maximum: limitAlong ? stretchesOf(limitAlong) : [],
      maximumSays: maxima.map(limitText).join(", "),
      caps: capsOf(along, amount.node, patient, dose),
      over,
      ...linkTo("place", amount.origin),
      ...linkTo("maximumPlace", maxima[0]?.origin),
    },
  ];
}

function isFor({ ages }: Maximum, { age }: Patient): boolean {
  return !ages || (age !== undefined && contains(ages, age));
}

function lowest(limits: readonly Expression[]): Expression | undefined {
  const [first, ...others] = limits;
  return first && others.reduce((left, right): Expression => ({ kind: "lesser", left, right }), first);
}

/** Where a cap begins to hold the dose down. */
function capsOf(
  { segments }: Along,
  node: AmountNode,
  patient: Patient,
  { concentration }: Dose,
): DoseCurve["caps"] {
  let before: string | undefined;
  return segments.flatMap((segment) => {
    const { lower, upper } = segment.range;
    if (!lower || !upper) return [];
    const middle = lower.value.add(upper.value).mul(ratio(1, 2));
    const cap = capInForce(node, { ...patient, weight: middle }, concentration);
    const isNew = cap !== undefined && cap !== before;
    before = cap;
    return isNew ? [{ from: pointOf(lower.value, valueOn(segment, lower.value)), says: `cap ${cap}` }] : [];
  });
}

/** The weights at which the dose is over the maximum. */
function overOf(amounts: TwoAmounts, patient: Patient, weight: Interval): DoseCurve["over"] {
  return (piecesAbove(amounts, patient, weight) ?? []).map(({ pieces, who }) => ({
    pieces: pieces.map((piece) =>
      piece.map(({ weight: at, upper, lower }) => ({ weight: at, dose: upper, maximum: lower })),
    ),
    says: `over the maximum: ${who}`,
  }));
}

function descriptionOf({ segments }: Along, unit: string, maxima: readonly Maximum[]): string {
  const parts = segments.flatMap((segment) => {
    const { lower, upper } = segment.range;
    if (!lower || !upper) return [];
    const [from, to] = [lower.value, upper.value].map((at) => valueOn(segment, at).round(1).toString());
    const amount = from === to ? `${from} ${unit}` : `${from} to ${to} ${unit}`;
    return [`${rangeText(segment.range, "kg")}: ${amount}`];
  });
  const maximum = maxima.length === 0 ? "no maximum" : `maximum ${maxima.map(limitText).join(", ")}`;
  return `${parts.join("; ")}; ${maximum}`;
}
