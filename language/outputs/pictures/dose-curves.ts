import type { Origin } from "@limbwright/shared/finding";
import type { CurvePoint, CurveStretch, DoseCurve, PicturePlace } from "@limbwright/shared/pictures";
import {
  contains,
  type Interval,
  intersection,
  isEmpty,
  type Rational,
  ratio,
} from "@limbwright/shared/quantity";
import type { AmountNode, Dose, Maximum, Protocol } from "../../model/index.ts";
import {
  type Box,
  compare,
  type Expression,
  type Patient,
  rangeText,
  regionText,
  type Segments,
  segmentsOf,
  type Variable,
  valueOn,
  variablesOf,
} from "../../population/index.ts";
import { boxOf } from "../../rules/judge.ts";
import { isVolumeLimit, limitExpression, limitText } from "../../rules/maximum.ts";
import { capInForce } from "../table/cap.ts";
import { bandsIn, type RowPatient, rowPatients } from "../table/patients.ts";

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

type Along = Pick<Segments, "segments">;

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
  const over = limit && limitAlong ? overOf({ given, limit, along, limitAlong }, patient, weight) : [];
  return [
    {
      id,
      title: `${dose.name}: ${agent?.name ?? ""} over weight${who}`,
      description: descriptionOf(along, unit, maxima),
      unit,
      from: first.valueOf(),
      to: last.valueOf(),
      dose: stretchesOf(along),
      maximum: limitAlong ? stretchesOf(limitAlong) : [],
      maximumSays: maxima.map(limitText).join(", "),
      caps: capsOf(along, amount.node, patient, dose),
      over,
      ...placed("place", amount.origin),
      ...placed("maximumPlace", maxima[0]?.origin),
    },
  ];
}

/** An amount in straight segments; undefined where it is a function of more than the weight and what the group fixes. */
function alongWeight(of: Expression, weight: Interval, patient: Patient): Along | undefined {
  const needsMore = variablesOf(of).some((variable) => variable !== "weight" && !patient[variable]);
  const answer = needsMore ? undefined : segmentsOf(of, "weight", weight, onlyUsed(of, patient));
  return answer?.kind === "segments" ? answer : undefined;
}

function isFor({ ages }: Maximum, { age }: Patient): boolean {
  return !ages || (age !== undefined && contains(ages, age));
}

function lowest(limits: readonly Expression[]): Expression | undefined {
  const [first, ...others] = limits;
  return first && others.reduce((left, right): Expression => ({ kind: "lesser", left, right }), first);
}

function onlyUsed(given: Expression, patient: Patient): Patient {
  const used = variablesOf(given).filter((variable) => variable !== "weight");
  return Object.fromEntries(
    used.flatMap((variable) => (patient[variable] ? [[variable, patient[variable]]] : [])),
  );
}

const UNITS: Readonly<Record<Variable, string>> = {
  weight: "kg",
  age: "years",
  systolic: "mmHg",
  circumference: "cm",
};

function whoText(ranges: RowPatient["ranges"]): string {
  const parts = (Object.entries(ranges) as [Variable, Interval][]).map(
    ([variable, range]) => `${variable} ${rangeText(range, UNITS[variable])}`,
  );
  return `, ${parts.join(", ")}`;
}

/** Segments that meet are one stretch; a jump or a gap begins a new one. */
function stretchesOf({ segments }: Along): CurveStretch[] {
  const stretches: CurvePoint[][] = [];
  for (const segment of segments) {
    const { lower, upper } = segment.range;
    if (!lower || !upper) continue;
    const points = [lower.value, upper.value].map((weight) => pointOf(weight, valueOn(segment, weight)));
    const [start] = points;
    const before = stretches.at(-1)?.at(-1);
    if (start && before?.weight === start.weight && before.amount === start.amount) {
      stretches.at(-1)?.push(...points.slice(1));
    } else stretches.push(points);
  }
  return stretches;
}

function pointOf(weight: Rational, amount: Rational): CurvePoint {
  return { weight: weight.valueOf(), amount: amount.valueOf() };
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

interface Compared {
  readonly given: Expression;
  readonly limit: Expression;
  readonly along: Along;
  readonly limitAlong: Along;
}

/** The weights at which the dose is over the maximum, cut at every point where either of the two bends. */
function overOf(
  { given, limit, along, limitAlong }: Compared,
  patient: Patient,
  weight: Interval,
): DoseCurve["over"] {
  const fixed = Object.entries(onlyUsed(given, patient)).map(([variable, value]) => [
    variable,
    { lower: { value, closed: true }, upper: { value, closed: true } },
  ]);
  const answer = compare(given, "at-most", limit, { ...Object.fromEntries(fixed), weight });
  if (answer.kind !== "broken") return [];
  return answer.regions.flatMap((region) => {
    const range = region.ranges.weight ?? weight;
    const says = `over the maximum: ${regionText(region)}`;
    const pieces = along.segments.flatMap((segment) =>
      limitAlong.segments.flatMap((bound) => {
        const part = intersection(intersection(segment.range, bound.range), range);
        if (isEmpty(part) || !part.lower || !part.upper) return [];
        const points = [part.lower.value, part.upper.value].map((at) => ({
          weight: at.valueOf(),
          dose: valueOn(segment, at).valueOf(),
          maximum: valueOn(bound, at).valueOf(),
        }));
        return [points];
      }),
    );
    return pieces.length === 0 ? [] : [{ pieces, says }];
  });
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

function placed<Key extends "place" | "maximumPlace">(
  key: Key,
  origin: Origin | undefined,
): Partial<Record<Key, PicturePlace>> {
  if (!origin) return {};
  return { [key]: { file: origin.file, line: origin.start.line } } as Record<Key, PicturePlace>;
}
