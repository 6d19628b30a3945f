import { type Interval, intersect, isEmpty, type Rational } from "@limbwright/shared/quantity";
import type { PatientCondition, Protocol } from "../model/index.ts";
import { subtractRange } from "../population/bands.ts";
import {
  type Box,
  patientText,
  rangeText,
  VARIABLE_UNITS,
  VARIABLES,
  type Variable,
} from "../population/index.ts";
import { roundPatient } from "../population/round-number.ts";
import { boxOf } from "../rules/engine/judge.ts";
import type { PatientsConcerned } from "./comparison.ts";
import { partedByKey } from "./pairing.ts";
import { meansTheSame } from "./same.ts";
import { bothSides, type Covered, type FoundChange, kindOf, partedChanges, type Sides } from "./side.ts";

export function coveredIn(before: Protocol, now: Protocol): Covered {
  const [old, recent] = [boxOf(before), boxOf(now)];
  const ranges = VARIABLES.map((variable) => {
    const range = intersect(old[variable] ?? {}, recent[variable] ?? {});
    return [variable, range] as const;
  });
  const isNobody = ranges.some(([, range]) => isEmpty(range));
  const both = Object.fromEntries(ranges.filter(([, { lower, upper }]) => lower || upper));
  return { both: isNobody ? undefined : both, now: recent };
}

/** Whom the protocol covers: the ranges, and the conditions that are decided. */
export function patientChanges(sides: Sides): FoundChange[] {
  return [...VARIABLES.flatMap((variable) => boundChange(variable, sides)), ...conditionChanges(sides)];
}

function boundChange(variable: Variable, { before, now }: Sides): FoundChange[] {
  const [old, recent] = [before.patients?.bounds[variable], now.patients?.bounds[variable]];
  if (meansTheSame(old?.interval, recent?.interval)) return [];
  const told = ({ interval }: { readonly interval: Interval }) =>
    rangeText(interval, VARIABLE_UNITS[variable]);
  const gained = subtractRange(recent?.interval ?? {}, old?.interval ?? {});
  const lost = subtractRange(old?.interval ?? {}, recent?.interval ?? {});
  if (gained.length + lost.length === 0) return [];
  const concerned = (ranges: readonly Interval[], isGain: boolean): PatientsConcerned[] =>
    ranges.length === 0 ? [] : [covered(variable, ranges, isGain ? boxOf(now) : boxOf(before), isGain)];
  return [
    {
      code: "patient-range",
      kind: kindOf(gained.length > 0, lost.length > 0),
      about: `patients: ${variable}`,
      what: `The protocol covers other patients: ${variable} ${recent ? told(recent) : "without limits"}; before, ${old ? told(old) : "without limits"}.`,
      ...bothSides(old, recent, told),
      evidence: [...concerned(gained, true), ...concerned(lost, false)],
    },
  ];
}

function covered(
  variable: Variable,
  ranges: readonly Interval[],
  box: Box,
  isGain: boolean,
): PatientsConcerned {
  const [first = {}] = ranges;
  const asked = VARIABLES.filter((one) => one === variable || box[one] !== undefined);
  const patient: Partial<Record<Variable, Rational>> = roundPatient(
    { box: { ...box, [variable]: first }, slanted: [] },
    asked,
    {},
  );
  const [before, now] = isGain ? ["not covered", "covered"] : ["covered", "not covered"];
  const direction = isGain ? "covered now" : "no longer covered";
  return {
    kind: "patients",
    direction,
    side: isGain ? "looser" : "tighter",
    ranges: ranges.map((range) => `${variable} ${rangeText(range, VARIABLE_UNITS[variable])}`),
    exact: true,
    everybody: false,
    example: { patient: patientText(patient), before, now, difference: direction },
  };
}

function conditionChanges({ before, now }: Sides): FoundChange[] {
  const [old, recent] = [before.patients?.conditions ?? [], now.patients?.conditions ?? []];
  return partedChanges(partedByKey(old, recent, keyOf, freeText), changedCondition, (one, isNew) =>
    isNew ? decidedOtherwise(undefined, one) : decidedOtherwise(one, undefined),
  );
}

/** A known condition is known by its name, free text by its decision and its words. */
function keyOf({ condition, decision, text }: PatientCondition): string {
  return condition ?? `${decision}: ${text}`;
}

/** Only free text may have been corrected; a known condition is another one whatever stands beside it. */
function freeText({ condition, text }: PatientCondition): string {
  return condition === undefined ? (text ?? "") : "";
}

function nameOf({ condition, text }: PatientCondition): string {
  return condition ? `\`${condition}\`` : `“${text}”`;
}

function told({ decision, condition, text, because }: PatientCondition): string {
  const words = [decision, condition, text && `"${text}"`, because && `because "${because}"`];
  return words.filter(Boolean).join(" ");
}

function changedCondition(before: PatientCondition, now: PatientCondition): FoundChange[] {
  if (before.decision !== now.decision) return [decidedOtherwise(before, now)];
  if (before.text === now.text && before.because === now.because) return [];
  return [
    {
      code: "patient-condition-text",
      about: `patients: ${nameOf(now)}`,
      what: `The text about ${nameOf(now)} is another one: ${told(now)}; before, ${told(before)}.`,
      ...bothSides(before, now, told),
    },
  ];
}

const DECIDED: Readonly<Record<PatientCondition["decision"], string>> = {
  contraindicated: "contraindicated",
  caution: "a caution",
  allowed: "allowed",
};

function askedText(before: PatientCondition | undefined, now: PatientCondition | undefined): string {
  const was = before ? DECIDED[before.decision] : "not asked";
  return now
    ? `is ${DECIDED[now.decision]} now; before, it was ${was}`
    : `is no longer asked; before, it was ${was}`;
}

/** A contraindication that is given up lets patients in; a caution is for the team to weigh. */
function decidedOtherwise(
  before: PatientCondition | undefined,
  now: PatientCondition | undefined,
): FoundChange {
  const one = now ?? before;
  const name = one ? nameOf(one) : "";
  const [was, is] = [before?.decision === "contraindicated", now?.decision === "contraindicated"];
  const direction = was ? "covered now" : "no longer covered";
  const evidence: PatientsConcerned = {
    kind: "patients",
    direction,
    side: was ? "looser" : "tighter",
    ranges: [`patients with ${name}`],
    exact: true,
    everybody: false,
  };
  return {
    code: "patient-condition",
    kind: was === is ? "needs-a-reader" : kindOf(was, is),
    about: `patients: ${name}`,
    what: `${name} ${askedText(before, now)}.`,
    ...bothSides(before, now, told),
    ...(was !== is && { evidence: [evidence] }),
  };
}
