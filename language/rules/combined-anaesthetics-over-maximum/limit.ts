import { type Interval, inBase, intersect, isEmpty } from "@limbwright/shared/quantity";
import type { Maximum } from "../../model/index.ts";
import { type Box, bandFaults, type Expression } from "../../population/index.ts";
import type { Drug } from "../facts/drugs.ts";
import { isVolumeLimit, limitExpression } from "../facts/maximum.ts";

/**
 * The least of a drug's maxima that hold for a patient, in mg. It has no value for ages without a maximum.
 * Undefined where there is none, or where one is a volume and the drug has not exactly one concentration.
 */
export function leastMaximum(drug: Drug, box: Box): Expression | undefined {
  const limits: Limit[] = [];
  for (const maximum of drug.maxima) {
    const value = inMass(drug, maximum);
    if (!value) return undefined;
    limits.push({ ages: maximum.ages ?? {}, value });
  }
  const rows = agesApart(limits, box).flatMap((range) => {
    const value = leastOf(limits.filter(({ ages }) => isWithin(range, ages)));
    return value ? [{ range, value }] : [];
  });
  const [only, another] = rows;
  if (!only) return undefined;
  const hasAges = another !== undefined || limits.some(({ ages }) => ages.lower || ages.upper);
  return hasAges ? { kind: "bands", variable: "age", rows } : only.value;
}

interface Limit {
  readonly ages: Interval;
  readonly value: Expression;
}

function inMass({ agents }: Drug, maximum: Maximum): Expression | undefined {
  const limit = limitExpression(maximum);
  if (!isVolumeLimit(maximum)) return limit;
  const [only, another] = agents.flatMap(({ concentrations }) => concentrations.map(inBase));
  return only && !another ? { kind: "scaled", factor: only, of: limit } : undefined;
}

/** The covered ages, cut wherever a maximum begins or ends. */
function agesApart(limits: readonly Limit[], box: Box): Interval[] {
  let parts: Interval[] = [box.age ?? {}];
  for (const { ages } of limits) {
    parts = parts.flatMap((part) => [intersect(part, ages), ...bandFaults([ages], part).gaps]);
  }
  return parts.filter((part) => !isEmpty(part));
}

function isWithin(part: Interval, ages: Interval): boolean {
  return bandFaults([ages], part).gaps.length === 0;
}

function leastOf(limits: readonly Limit[]): Expression | undefined {
  return limits
    .map(({ value }) => value)
    .reduce<Expression | undefined>(
      (left, right) => (left ? { kind: "lesser", left, right } : right),
      undefined,
    );
}
