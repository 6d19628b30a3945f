import type {
  CurvePoint,
  CurveStretch,
  DoseComparison,
  DoseCurve,
  DosesApart,
} from "@limbwright/shared/pictures";
import {
  type Interval,
  inBase,
  intersect,
  isEmpty,
  type MassUnit,
  ONE,
  quantity,
  type Rational,
  ratio,
} from "@limbwright/shared/quantity";
import {
  type AmountNode,
  type Dose,
  type Maximum,
  massUnitOf,
  ownDoses,
  type Protocol,
} from "../../model/index.ts";
import {
  type Box,
  compare,
  type Expression,
  type Patient,
  rangeText,
  regionText,
  type Segments,
  segmentsOf,
  VARIABLE_UNITS,
  VARIABLES,
  type Variable,
  valueOn,
  variablesOf,
} from "../../population/index.ts";
import { boxOf } from "../../rules/engine/judge.ts";
import { isVolumeLimit, limitExpression, limitText } from "../../rules/facts/maximum.ts";
import { bandsIn, type RowPatient, rowPatients } from "../table/patients.ts";
import { capInForce, isFor } from "../table/rows.ts";
import { linkTo } from "./run-pictures.ts";

/** The curves of a protocol's own doses over weight, for each group of patients who differ in more than weight. */
export function doseCurvesOf(protocol: Protocol, id: string): DoseCurve[] {
  const box = boxOf(protocol);
  return ownDoses(protocol).flatMap((dose) => {
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
  const unit = mass ? massUnitOf(dose) : "mL";
  const weight = box.weight ?? {};
  const maxima = (agent?.maxima ?? []).filter(
    (maximum) => isVolumeLimit(maximum) === (unit === "mL") && isFor(maximum, patient),
  );
  const along = alongWeight(told(mass ?? volume, unit), weight, patient);
  const limit = alongWeight(told(lowest(maxima.map(limitExpression)), unit), weight, patient);
  const [first, last] = [weight.lower?.value, weight.upper?.value];
  if (!amount || !along || !first || !last) return [];
  return [
    {
      id,
      title: `${dose.name}: ${agentText(dose)} over weight${who}`,
      description: descriptionOf(along, unit, maxima),
      unit,
      from: first.valueOf(),
      to: last.valueOf(),
      dose: stretchesOf(along),
      maximum: limit ? stretchesOf(limit) : [],
      maximumSays: maxima.map(limitText).join(", "),
      caps: capsOf(along, amount.node, patient, dose),
      over: limit ? overOf(along, limit, patient, weight) : [],
      ...linkTo("place", amount.origin),
      ...linkTo("maximumPlace", maxima[0]?.origin),
    },
  ];
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
    const [from, to] = endsOf(segment);
    if (!from || !to) return [];
    const middle = from.add(to).mul(ratio(1, 2));
    const cap = capInForce(node, { ...patient, weight: middle }, concentration);
    const isNew = cap !== undefined && cap !== before;
    before = cap;
    return isNew ? [{ from: pointOn(segment, from), says: `cap ${cap}` }] : [];
  });
}

/** The weights at which the dose is over the maximum. */
function overOf(dose: Along, limit: Along, patient: Patient, weight: Interval): DoseCurve["over"] {
  return (piecesAbove(dose, limit, patient, weight) ?? []).map(({ pieces, who }) => ({
    pieces: pieces.map((piece) =>
      piece.map(({ weight: at, upper, lower }) => ({ weight: at, dose: upper, maximum: lower })),
    ),
    says: `over the maximum: ${who}`,
  }));
}

function descriptionOf({ segments }: Along, unit: string, maxima: readonly Maximum[]): string {
  const parts = segments.flatMap((segment) => {
    const [from, to] = endsOf(segment).map((at) =>
      valueOn(segment, at)
        .round(unit === "g" ? 4 : 1)
        .toString(),
    );
    if (from === undefined) return [];
    const amount = from === to ? `${from} ${unit}` : `${from} to ${to} ${unit}`;
    return [`${rangeText(segment.range, "kg")}: ${amount}`];
  });
  const maximum = maxima.length === 0 ? "no maximum" : `maximum ${maxima.map(limitText).join(", ")}`;
  return `${parts.join("; ")}; ${maximum}`;
}

/**
 * The curves of the doses that both versions have under one name, over each other: for each group of patients who differ in more
 * than weight and whom both versions cover. Doses of emergencies have none: of these, more is not looser.
 */
export function doseComparisonsOf(before: Protocol, now: Protocol, id: string): DoseComparison[] {
  const [earlier, later] = [boxOf(before), boxOf(now)];
  const both = bothCover(earlier, later);
  return ownDoses(now).flatMap((dose) => {
    const old = ownDoses(before).find(({ name }) => name === dose.name);
    if (!old?.amount || !dose.amount || !both) return [];
    const maxima = [...(old.agent?.maxima ?? []), ...(dose.agent?.maxima ?? [])];
    const { weight: _alongTheAxis, ...bands } = bandsIn([old.amount.node, dose.amount.node], maxima);
    const groups = rowPatients(both, undefined, bands) ?? [];
    return groups.flatMap(({ patient, ranges }, at) => {
      const title = `${dose.name}: ${agentsText(old, dose)} over weight${groups.length > 1 ? whoText(ranges) : ""}`;
      return comparisonOf(
        { dose: old, weight: earlier.weight ?? {} },
        { dose, weight: later.weight ?? {} },
        patient,
        { id: `${id}-${dose.name}-${at + 1}`, title },
      );
    });
  });
}

/** The patients whom both cover, whatever they weigh; undefined where there are none. */
function bothCover(before: Box, now: Box): Box | undefined {
  const ranges = VARIABLES.flatMap((variable) => {
    const range = intersect(before[variable] ?? {}, now[variable] ?? {});
    return variable === "weight" ? [] : [[variable, range] as const];
  });
  return ranges.some(([, range]) => isEmpty(range)) ? undefined : Object.fromEntries(ranges);
}

function agentsText(before: Dose, now: Dose): string {
  const [old, recent] = [agentText(before), agentText(now)];
  return old === recent ? recent : `${old} before, ${recent} now,`;
}

interface Version {
  readonly dose: Dose;
  /** The weights it covers. */
  readonly weight: Interval;
}

function comparisonOf(
  before: Version,
  now: Version,
  patient: Patient,
  { id, title }: { readonly id: string; readonly title: string },
): DoseComparison[] {
  const unit = before.dose.mass && now.dose.mass ? massUnitOf(now.dose) : "mL";
  const [old, given] = [amountIn(unit, before, patient), amountIn(unit, now, patient)];
  const edges = [before.weight, now.weight].flatMap(({ lower, upper }) =>
    lower && upper ? [lower.value.valueOf(), upper.value.valueOf()] : [],
  );
  if (!old || !given || edges.length < 4) return [];
  const isSameAgent = before.dose.agent?.name === now.dose.agent?.name;
  const apart = isSameAgent ? apartOf(old, given, patient, intersect(before.weight, now.weight)) : [];
  return [
    {
      id,
      title,
      description: isSameAgent
        ? describeApart(apart)
        : "another drug: neither amount can be said to be more than the other",
      unit,
      from: Math.min(...edges),
      to: Math.max(...edges),
      before: stretchesOf(old),
      now: stretchesOf(given),
      apart: apart ?? [],
      ...linkTo("beforePlace", before.dose.amount?.origin),
      ...linkTo("nowPlace", now.dose.amount?.origin),
    },
  ];
}

function amountIn(unit: ToldUnit, { dose, weight }: Version, patient: Patient): Along | undefined {
  return alongWeight(told(unit === "mL" ? dose.volume : dose.mass, unit), weight, patient);
}

type ToldUnit = MassUnit | "mL";

/** An amount as so many of the unit that it is told in. */
function told(of: Expression | undefined, unit: ToldUnit): Expression | undefined {
  const one = inBase(quantity(ONE, unit));
  return of && one.compare(ONE) !== 0 ? { kind: "scaled", factor: one.inverse(), of } : of;
}

/** Where more is given now, and where less, among the weights that both cover; undefined where it could not be decided. */
function apartOf(before: Along, now: Along, patient: Patient, weight: Interval): DosesApart[] | undefined {
  if (isEmpty(weight)) return [];
  const more = piecesAbove(now, before, patient, weight);
  const less = piecesAbove(before, now, patient, weight);
  if (!more || !less) return undefined;
  const tell = (is: DosesApart["is"], { pieces, who }: Above): DosesApart => ({
    is,
    pieces: pieces.map((piece) =>
      piece.map(({ weight: at, upper, lower }) =>
        is === "looser"
          ? { weight: at, before: lower, now: upper }
          : { weight: at, before: upper, now: lower },
      ),
    ),
    says: `${is}: ${is === "looser" ? "more" : "less"} for ${whom(who)}`,
  });
  return [...more.map((one) => tell("looser", one)), ...less.map((one) => tell("tighter", one))];
}

/** "every patient" is every patient of the weights that are compared. */
function whom(who: string): string {
  return who === "every patient" ? "every patient whom both versions cover" : who;
}

function describeApart(apart: readonly DosesApart[] | undefined): string {
  if (!apart) return "where the two versions are apart could not be decided";
  return apart.length === 0
    ? "both versions give the same to whoever they both cover"
    : apart.map(({ says }) => says).join("; ");
}

/** An amount along the weight, in straight segments. */
interface Along extends Pick<Segments, "segments"> {
  readonly of: Expression;
}

type Segment = Along["segments"][number];

/** Undefined where it is a function of more than the weight and what the group fixes, or where there is no amount. */
function alongWeight(of: Expression | undefined, weight: Interval, patient: Patient): Along | undefined {
  if (!of || variablesOf(of).some((variable) => variable !== "weight" && !patient[variable]))
    return undefined;
  const answer = segmentsOf(of, "weight", weight, onlyUsed(of, patient));
  return answer.kind === "segments" ? { of, segments: answer.segments } : undefined;
}

/** The weights between which a segment is straight; none where it has no end. */
function endsOf({ range: { lower, upper } }: Segment): Rational[] {
  return lower && upper ? [lower.value, upper.value] : [];
}

function onlyUsed(given: Expression, patient: Patient): Patient {
  const used = variablesOf(given).filter((variable) => variable !== "weight");
  return Object.fromEntries(
    used.flatMap((variable) => (patient[variable] ? [[variable, patient[variable]]] : [])),
  );
}

/** ", age 16 to 85 years": whom a curve is for, where there are several. */
function whoText(ranges: RowPatient["ranges"]): string {
  const parts = (Object.entries(ranges) as [Variable, Interval][]).map(
    ([variable, range]) => `${variable} ${rangeText(range, VARIABLE_UNITS[variable])}`,
  );
  return `, ${parts.join(", ")}`;
}

/** Segments that meet are one stretch; a jump or a gap begins a new one. */
function stretchesOf({ segments }: Along): CurveStretch[] {
  const stretches: CurvePoint[][] = [];
  for (const segment of segments) {
    const points = endsOf(segment).map((weight) => pointOn(segment, weight));
    const [start] = points;
    if (!start) continue;
    const before = stretches.at(-1)?.at(-1);
    if (before?.weight === start.weight && before.amount === start.amount) {
      stretches.at(-1)?.push(...points.slice(1));
    } else stretches.push(points);
  }
  return stretches;
}

function pointOn(segment: Segment, weight: Rational): CurvePoint {
  return { weight: weight.valueOf(), amount: valueOn(segment, weight).valueOf() };
}

/** Weights at which the one is above the other. */
interface Above {
  /** In pieces over which both are straight, from the lightest patient on. */
  readonly pieces: readonly (readonly {
    readonly weight: number;
    readonly upper: number;
    readonly lower: number;
  }[])[];
  /** "45 kg to under 50 kg". */
  readonly who: string;
}

/**
 * The weights at which `upper` is above `lower`, cut at every point where either of the two bends. Undefined where that could
 * not be decided.
 */
function piecesAbove(upper: Along, lower: Along, patient: Patient, weight: Interval): Above[] | undefined {
  const used = { ...onlyUsed(upper.of, patient), ...onlyUsed(lower.of, patient) };
  const fixed = Object.entries(used).map(([variable, value]) => [
    variable,
    { lower: { value, closed: true }, upper: { value, closed: true } },
  ]);
  const answer = compare(upper.of, "at-most", lower.of, { ...Object.fromEntries(fixed), weight });
  if (answer.kind === "not-decided") return undefined;
  if (answer.kind !== "broken") return [];
  return answer.regions.flatMap((region) => {
    const range = region.ranges.weight ?? weight;
    const pieces = upper.segments.flatMap((segment) =>
      lower.segments.flatMap((bound) => {
        const part = intersect(intersect(segment.range, bound.range), range);
        if (isEmpty(part) || !part.lower || !part.upper) return [];
        const points = [part.lower.value, part.upper.value].map((at) => ({
          weight: at.valueOf(),
          upper: valueOn(segment, at).valueOf(),
          lower: valueOn(bound, at).valueOf(),
        }));
        return [points];
      }),
    );
    return pieces.length === 0 ? [] : [{ pieces, who: regionText(region) }];
  });
}

/** Whose dose it is, for a title; a text with an error may name an agent that nobody declared. */
function agentText({ agent }: Dose): string {
  return agent?.name ?? "an agent that is not known";
}
