import type { Origin } from "@limbwright/shared/finding";
import { contains, inBase, quantity, type Rational, rational } from "@limbwright/shared/quantity";
import { listText } from "@limbwright/shared/text";
import type { CuffSet, Dose, Maximum, Protocol } from "../../model/index.ts";
import {
  type Expression,
  type Patient,
  rangeText,
  VARIABLE_UNITS,
  VARIABLES,
  type Variable,
  variablesOf,
} from "../../population/index.ts";
import { boxOf } from "../../rules/engine/judge.ts";
import { limitExpression, patientsUnder } from "../../rules/facts/maximum.ts";
import { drawingUpIn } from "../../rules/facts/syringes.ts";
import { COLUMNS, type ColumnKey, drugText, purposeOfDose, type TableRow } from "./columns.ts";
import { doseRow, pressureRow } from "./rows.ts";

/** What somebody typed about a patient, as it stands there; a measure that was not typed is missing or empty. */
export type TypedPatient = Readonly<Partial<Record<Variable, string>>>;

/** The figures of a protocol for one patient: exact, and rounded as in the dose table. */
export interface PatientFigures {
  readonly measures: readonly PatientMeasure[];
  /** Why there are no figures, or what is not known of the patient; undefined where nothing is amiss. */
  readonly amiss?: string;
  /** Doses in the order of the text, then the pressure of the cuffs; none for a patient whom the protocol does not cover. */
  readonly rows: readonly PatientRow[];
}

/** A measure that is asked for. */
export interface PatientMeasure {
  readonly name: Variable;
  readonly unit: string;
  /** Whom the protocol covers: "45 to 130 kg"; undefined where it sets no limits. */
  readonly covered?: string;
  /** What is wrong with what was typed. */
  readonly fault?: string;
}

export interface PatientRow {
  /** "local", "cuff pressure". */
  readonly name: string;
  /** "lidocaine 0.5 %"; empty for a pressure. */
  readonly of: string;
  /** What it is for: "block", the title of an emergency; empty for a pressure. */
  readonly purpose: string;
  readonly origin: Origin;
  /** What there is to say, with its unit: "drawn up", "36 mL". */
  readonly figures: readonly { readonly label: string; readonly text: string }[];
  /** Whether it is over the drug's maximum, or over the ceiling of the cuffs. */
  readonly isOver: boolean;
  /** Why there is no figure: nothing is guessed. */
  readonly because?: string;
}

const ALWAYS_ASKED: ReadonlySet<Variable> = new Set(["weight", "age", "systolic"]);
/** What a measure is called; a name of the language is not always a word for people. */
const WORDS = { weight: "weight", age: "age", systolic: "systolic pressure", circumference: "limb" } as const;

/** The doses and the pressure of a protocol for a patient. */
export function patientFigures(protocol: Protocol, typed: TypedPatient): PatientFigures {
  const readings = readingsOf(protocol, typed);
  const measures = readings.map(({ measure }) => measure);
  const faults = measures.flatMap(({ fault }) => (fault === undefined ? [] : [fault]));
  if (!protocol.patients || protocol.patients.boundsIncomplete) {
    const amiss = "No figures: whom this protocol covers is not said or was not understood.";
    return { measures, amiss, rows: [] };
  }
  if (faults.length > 0) return { measures, amiss: `No figures: ${faults.join(" ")}`, rows: [] };
  const missing = readings.filter(({ value }) => !value).map(({ measure }) => WORDS[measure.name]);
  const patient: Patient = Object.fromEntries(
    readings.flatMap(({ measure, value }) => (value ? [[measure.name, value]] : [])),
  );
  return {
    measures,
    ...(missing.length > 0 && { amiss: missingText(missing) }),
    rows: rowsFor(protocol, patient),
  };
}

function missingText(missing: readonly string[]): string {
  const are = missing.length > 1 ? "are" : "is";
  return `The ${listText(missing)} ${are} not typed: whether the protocol covers this patient is not known.`;
}

interface Reading {
  readonly measure: PatientMeasure;
  /** In base units; undefined where nothing is typed, or nothing that can be used. */
  readonly value?: Rational;
}

function readingsOf(protocol: Protocol, typed: TypedPatient): Reading[] {
  const used = new Set(expressionsIn(protocol).flatMap((one) => variablesOf(one)));
  const asked = VARIABLES.filter((variable) => ALWAYS_ASKED.has(variable) || used.has(variable));
  return asked.map((variable) => readingOf(protocol, variable, (typed[variable] ?? "").trim()));
}

function readingOf({ patients }: Protocol, name: Variable, text: string): Reading {
  const range = patients?.bounds[name];
  const unit = range?.unit ?? VARIABLE_UNITS[name];
  const covered = range && rangeText(range.interval, unit);
  const measure: PatientMeasure = { name, unit, ...(covered !== undefined && { covered }) };
  if (text === "") return { measure };
  if (!NUMBER.test(text)) {
    const fault = `What is typed as ${WORDS[name]} is no number: write digits, with a point before decimals.`;
    return { measure: { ...measure, fault } };
  }
  const value = inBase(quantity(rational(text), unit));
  if (range && !contains(range.interval, value)) {
    const fault = `A ${WORDS[name]} of ${text} ${unit} is not covered: this protocol is for ${covered}.`;
    return { measure: { ...measure, fault } };
  }
  return { measure, value };
}

/** As many digits as a measure of a patient can have. */
const NUMBER = /^\d{1,4}(\.\d{1,3})?$/;

function expressionsIn({ doses, cuffs }: Protocol): Expression[] {
  const pressure = cuffs?.pressure;
  return [...doses.flatMap(expressionsOf), ...(pressure ? [pressure.expression] : [])];
}

function expressionsOf({ mass, volume, rate, total, adjuvants }: Dose): Expression[] {
  return [
    ...[mass, volume, rate?.expression, total?.expression],
    ...adjuvants.flatMap((one) => [one.mass, one.volume]),
  ].filter((one) => one !== undefined);
}

/** The columns of the dose table that are said of one patient, and the units of their figures. */
const SHOWN: readonly { readonly key: ColumnKey; readonly label: string; readonly unit: string }[] = [
  { key: "drawn", label: "draw up", unit: " mL" },
  { key: "drawnMass", label: "which is", unit: " mg" },
  { key: "drawnMicrograms", label: "which is", unit: " mcg" },
  { key: "drawnGrams", label: "which is", unit: " g" },
  { key: "syringe", label: "syringe", unit: "" },
  { key: "massPerWeight", label: "per weight", unit: " mg/kg" },
  { key: "microgramsPerWeight", label: "per weight", unit: " mcg/kg" },
  { key: "gramsPerWeight", label: "per weight", unit: " g/kg" },
  { key: "share", label: "of the nearest maximum", unit: " %" },
  { key: "cap", label: "held down by", unit: "" },
  { key: "rateVolume", label: "rate", unit: " mL/h" },
  { key: "rateMass", label: "rate", unit: " mg/h" },
  { key: "rateMicrograms", label: "rate", unit: " mcg/h" },
  { key: "rateGrams", label: "rate", unit: " g/h" },
  { key: "totalVolume", label: "at most in all", unit: " mL" },
  { key: "totalMass", label: "at most in all", unit: " mg" },
  { key: "totalMicrograms", label: "at most in all", unit: " mcg" },
  { key: "totalGrams", label: "at most in all", unit: " g" },
  { key: "mixedIn", label: "mixed in", unit: "" },
  { key: "repeated", label: "repeated", unit: "" },
  { key: "pressure", label: "inflate to", unit: " mmHg" },
];

/** The rows of one patient: the doses, then the pressure of the cuffs. */
function rowsFor(protocol: Protocol, patient: Patient): PatientRow[] {
  const by = drawingUpIn(protocol);
  const figuresOf = (row: TableRow) =>
    SHOWN.flatMap(({ key, label, unit }) => {
      const text = COLUMNS[key].text(row);
      return text === "" ? [] : [{ label, text: `${text}${unit}` }];
    });
  const doseRowOf = (dose: Dose): PatientRow => {
    const { name, origin } = dose;
    const head = { name, of: drugText(dose), purpose: purposeOfDose(dose, protocol), origin };
    const maxima = (dose.agent?.maxima ?? []).filter(
      (maximum) => patientsUnder(boxOf(protocol), maximum) !== undefined,
    );
    const because = whyNoDose(dose, maxima, patient);
    if (because !== undefined) return { ...head, figures: [], isOver: false, because };
    const row = doseRow(dose, { patient, ranges: {} }, maxima, by);
    if (row.isLeftOut) return { ...head, figures: [], isOver: false, because: NO_DOSE };
    if (row.volume && !row.drawn) return { ...head, figures: [], isOver: false, because: NOT_MEASURED };
    const isOver = row.share !== undefined && row.share.of.compare(1) > 0;
    return { ...head, figures: figuresOf({ protocol, kind: "dose", row }), isOver };
  };
  const pressureRowOf = (cuffs: CuffSet): PatientRow => {
    const origin = cuffs.pressure?.origin ?? cuffs.origin;
    const head = { name: "cuff pressure", of: "", purpose: "", origin };
    const because = cuffs.pressure
      ? whatIsNeeded(variablesOf(cuffs.pressure.expression), patient)
      : "The protocol says none, or it was not understood.";
    if (because !== undefined) return { ...head, figures: [], isOver: false, because };
    const row = pressureRow(cuffs, { patient, ranges: {} });
    if (!row.pressure) return { ...head, figures: [], isOver: false, because: NO_PRESSURE };
    return { ...head, figures: figuresOf({ protocol, kind: "pressure", row }), isOver: row.isOverCeiling };
  };
  return [...protocol.doses.map(doseRowOf), ...(protocol.cuffs ? [pressureRowOf(protocol.cuffs)] : [])];
}

/** A figure that needs what is not typed is not given, also where it is only what the dose is held against. */
function whyNoDose(dose: Dose, maxima: readonly Maximum[], patient: Patient): string | undefined {
  if (!dose.amount && !dose.rate) return "Its amount was not understood.";
  const byAge: readonly Variable[] = maxima.some(({ ages }) => ages) ? ["age"] : [];
  const limits = maxima.map(limitExpression);
  return whatIsNeeded([...variablesOf(...expressionsOf(dose), ...limits), ...byAge], patient);
}

function whatIsNeeded(needed: readonly Variable[], patient: Patient): string | undefined {
  const missing = VARIABLES.filter((variable) => needed.includes(variable) && !patient[variable]);
  return missing.length === 0
    ? undefined
    : `Needs the ${listText(missing.map((variable) => WORDS[variable]))}.`;
}

const NO_DOSE = "No dose by this protocol for this patient.";
const NOT_MEASURED = "Its syringe cannot measure this dose for this patient.";
const NO_PRESSURE = "No pressure by this protocol for this patient.";
