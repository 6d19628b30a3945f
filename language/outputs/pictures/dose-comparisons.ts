import type { DoseComparison, DosesApart } from "@limbwright/shared/pictures";
import { type Interval, intersect, isEmpty } from "@limbwright/shared/quantity";
import type { Dose, Protocol } from "../../model/index.ts";
import { type Box, type Expression, type Patient, VARIABLES } from "../../population/index.ts";
import { boxOf } from "../../rules/engine/judge.ts";
import { bandsIn, rowPatients } from "../table/patients.ts";
import {
  type Along,
  agentText,
  alongWeight,
  linkTo,
  piecesAbove,
  stretchesOf,
  whoText,
} from "./along-weight.ts";

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

function ownDoses({ doses }: Protocol): Dose[] {
  return doses.filter(({ emergency }) => emergency === undefined);
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
  const unit = before.dose.mass && now.dose.mass ? "mg" : "mL";
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
      before: stretchesOf(old.along),
      now: stretchesOf(given.along),
      apart: apart ?? [],
      ...linkTo("beforePlace", before.dose.amount?.origin),
      ...linkTo("nowPlace", now.dose.amount?.origin),
    },
  ];
}

interface AmountAlong {
  readonly amount: Expression;
  readonly along: Along;
}

function amountIn(unit: "mg" | "mL", { dose, weight }: Version, patient: Patient): AmountAlong | undefined {
  const amount = unit === "mg" ? dose.mass : dose.volume;
  const along = amount && alongWeight(amount, weight, patient);
  return amount && along && { amount, along };
}

/** Where more is given now, and where less, among the weights that both cover; undefined where it could not be decided. */
function apartOf(
  before: AmountAlong,
  now: AmountAlong,
  patient: Patient,
  weight: Interval,
): DosesApart[] | undefined {
  if (isEmpty(weight)) return [];
  const more = piecesAbove(
    { upper: now.amount, upperAlong: now.along, lower: before.amount, lowerAlong: before.along },
    patient,
    weight,
  );
  const less = piecesAbove(
    { upper: before.amount, upperAlong: before.along, lower: now.amount, lowerAlong: now.along },
    patient,
    weight,
  );
  if (!more || !less) return undefined;
  const looser = more.map(
    ({ pieces, who }): DosesApart => ({
      is: "looser",
      pieces: pieces.map((piece) =>
        piece.map((at) => ({ weight: at.weight, before: at.lower, now: at.upper })),
      ),
      says: `looser: more for ${whom(who)}`,
    }),
  );
  const tighter = less.map(
    ({ pieces, who }): DosesApart => ({
      is: "tighter",
      pieces: pieces.map((piece) =>
        piece.map((at) => ({ weight: at.weight, before: at.upper, now: at.lower })),
      ),
      says: `tighter: less for ${whom(who)}`,
    }),
  );
  return [...looser, ...tighter];
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
