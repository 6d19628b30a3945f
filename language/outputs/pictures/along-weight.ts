import type { Origin } from "@limbwright/shared/finding";
import type { CurvePoint, CurveStretch, PicturePlace } from "@limbwright/shared/pictures";
import { type Interval, intersect, isEmpty, type Rational } from "@limbwright/shared/quantity";
import type { Dose } from "../../model/index.ts";
import {
  compare,
  type Expression,
  type Patient,
  rangeText,
  regionText,
  type Segments,
  segmentsOf,
  VARIABLE_UNITS,
  type Variable,
  valueOn,
  variablesOf,
} from "../../population/index.ts";
import type { RowPatient } from "../table/patients.ts";

/** An amount in straight segments along the weight. */
export type Along = Pick<Segments, "segments">;

/** An amount along the weight in straight segments; undefined where it is a function of more than the weight and what the group fixes. */
export function alongWeight(of: Expression, weight: Interval, patient: Patient): Along | undefined {
  const needsMore = variablesOf(of).some((variable) => variable !== "weight" && !patient[variable]);
  const answer = needsMore ? undefined : segmentsOf(of, "weight", weight, onlyUsed(of, patient));
  return answer?.kind === "segments" ? answer : undefined;
}

function onlyUsed(given: Expression, patient: Patient): Patient {
  const used = variablesOf(given).filter((variable) => variable !== "weight");
  return Object.fromEntries(
    used.flatMap((variable) => (patient[variable] ? [[variable, patient[variable]]] : [])),
  );
}

/** ", age 16 to 85 years": whom a curve is for, where there are several. */
export function whoText(ranges: RowPatient["ranges"]): string {
  const parts = (Object.entries(ranges) as [Variable, Interval][]).map(
    ([variable, range]) => `${variable} ${rangeText(range, VARIABLE_UNITS[variable])}`,
  );
  return `, ${parts.join(", ")}`;
}

/** Segments that meet are one stretch; a jump or a gap begins a new one. */
export function stretchesOf({ segments }: Along): CurveStretch[] {
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

export function pointOf(weight: Rational, amount: Rational): CurvePoint {
  return { weight: weight.valueOf(), amount: amount.valueOf() };
}

/** Two amounts along the weight, of which the one may be above the other. */
export interface TwoAmounts {
  readonly upper: Expression;
  readonly lower: Expression;
  readonly upperAlong: Along;
  readonly lowerAlong: Along;
}

/** Weights at which the one is above the other. */
export interface Above {
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
export function piecesAbove(
  { upper, lower, upperAlong, lowerAlong }: TwoAmounts,
  patient: Patient,
  weight: Interval,
): Above[] | undefined {
  const used = { ...onlyUsed(upper, patient), ...onlyUsed(lower, patient) };
  const fixed = Object.entries(used).map(([variable, value]) => [
    variable,
    { lower: { value, closed: true }, upper: { value, closed: true } },
  ]);
  const answer = compare(upper, "at-most", lower, { ...Object.fromEntries(fixed), weight });
  if (answer.kind === "not-decided") return undefined;
  if (answer.kind !== "broken") return [];
  return answer.regions.flatMap((region) => {
    const range = region.ranges.weight ?? weight;
    const pieces = upperAlong.segments.flatMap((segment) =>
      lowerAlong.segments.flatMap((bound) => {
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

/** The place that a mark leads to, under its name; nothing where there is none. */
export function linkTo<Key extends string>(
  key: Key,
  origin: Origin | undefined,
): Partial<Record<Key, PicturePlace>> {
  if (!origin) return {};
  return { [key]: { file: origin.file, line: origin.start.line } } as Record<Key, PicturePlace>;
}

/** Whose dose it is, for a title; a text with an error may name an agent that nobody declared. */
export function agentText({ agent }: Dose): string {
  return agent?.name ?? "an agent that is not known";
}
