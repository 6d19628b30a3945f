import {
  decimalText,
  floorTo,
  inBase,
  quantityText,
  type Rational,
  ratio,
  rational,
  thousands,
} from "@limbwright/shared/quantity";
import type { Dose, Protocol } from "../../model/index.ts";
import { rangeText, type Variable } from "../../population/index.ts";
import { isVolumeLimit } from "../../rules/facts/maximum.ts";
import type { DoseRow, MixedIn } from "./dose-rows.ts";
import type { RowPatient } from "./patients.ts";
import type { PressureRow } from "./pressure-rows.ts";

/** A row of the table with the protocol it belongs to. */
export type TableRow = { readonly protocol: Protocol } & (
  | { readonly kind: "dose"; readonly row: DoseRow }
  | { readonly kind: "pressure"; readonly row: PressureRow }
);

/** A column: its heading, with the unit, and its text for a row; empty where it says nothing about one. */
export interface Column {
  readonly key: ColumnKey;
  readonly heading: string;
  readonly text: (row: TableRow) => string;
}

/** What a column says, whatever its heading is. */
export type ColumnKey =
  | Variable
  | "for"
  | "dose"
  | "agent"
  | "concentration"
  | "mass"
  | "volume"
  | "cap"
  | "drawn"
  | "drawnMass"
  | "massPerWeight"
  | "volumePerWeight"
  | "share"
  | "maximum"
  | "stock"
  | "ampoules"
  | "ampoule"
  | "diluentVolume"
  | "diluent"
  | "mixedIn"
  | "repeated"
  | "rateVolume"
  | "rateMass"
  | "totalVolume"
  | "totalMass"
  | "pressure"
  | "note";

/** Every column, in order; `graduation` is that of the syringe, "1 mL". */
export function columnsOf(graduation: string): Column[] {
  return [
    { key: "for", heading: "For", text: purposeOf },
    ofDose("dose", "Dose", ({ dose }) => dose.name),
    ofDose("agent", "Agent", ({ dose }) => dose.agent?.name),
    ofDose("concentration", "Concentration (mg/mL)", ({ dose }) => concentrationOf(dose)),
    ofPatient("Weight (kg)", "weight", "kg"),
    ofPatient("Age", "age", "years"),
    ofPatient("Systolic (mmHg)", "systolic", "mmHg"),
    ofPatient("Circumference", "circumference", "cm"),
    ofMass("mass", "Dose by formula (mg)", ({ mass }) => mass && atMost(mass)),
    ofDose("volume", "Volume by formula (mL)", ({ volume }) => volume && atMost(volume)),
    ofDose("cap", "Cap in force", ({ cap }) => cap),
    ofDose(
      "drawn",
      `Volume to draw up, rounded down to ${graduation} (mL)`,
      ({ drawn }) => drawn && atMost(drawn),
    ),
    ofMass("drawnMass", "Dose drawn up (mg)", ({ drawnMass }) => drawnMass && atMost(drawnMass)),
    ofMass("massPerWeight", "Dose drawn up (mg/kg, rounded up)", ({ drawnMass, patient }) =>
      perWeight(drawnMass, patient),
    ),
    ofDose("volumePerWeight", "Volume drawn up (mL/kg, rounded up)", ({ drawn, patient }) =>
      perWeight(drawn, patient),
    ),
    ofDose(
      "share",
      "Share of the nearest maximum (%, rounded up)",
      ({ share }) => share && atLeast(share.of.mul(100)),
    ),
    ofDose("maximum", "Nearest maximum", ({ share }) => share?.maximum),
    ofDose(
      "stock",
      "Taken from ampoules (mL)",
      ({ preparation }) => preparation && atMost(preparation.stock),
    ),
    ofDose("ampoules", "Ampoules opened", ({ preparation }) => preparation && atMost(preparation.ampoules)),
    ofDose("ampoule", "Ampoule", ({ dose, preparation }) => preparation && ampouleOf(dose)),
    ofDose(
      "diluentVolume",
      "Diluent added (mL)",
      ({ preparation }) => preparation && atMost(preparation.diluent),
    ),
    ofDose("diluent", "Diluent", ({ dose, preparation }) => preparation && dose.agent?.diluent?.value),
    ofDose("mixedIn", "Mixed in", ({ mixedIn }) => mixedIn.map(mixedInText).join("; ")),
    ofDose("repeated", "Repeated", ({ dose }) => repeatOf(dose)),
    ofDose("rateVolume", "Rate (mL/h)", ({ rate, isMassRate }) =>
      isMassRate ? undefined : rate && atMost(rate.mul(HOUR)),
    ),
    ofDose("rateMass", "Rate (mg/h)", ({ rate, isMassRate }) =>
      isMassRate ? rate && atMost(rate.mul(HOUR)) : undefined,
    ),
    ofDose("totalVolume", "Total at most (mL)", ({ total, isMassTotal }) =>
      isMassTotal ? undefined : total && atMost(total),
    ),
    ofDose("totalMass", "Total at most (mg)", ({ total, isMassTotal }) =>
      isMassTotal ? total && atMost(total) : undefined,
    ),
    { key: "pressure", heading: "Cuff pressure (mmHg)", text: pressureOf },
    { key: "note", heading: "Note", text: noteOf },
  ];
}

const HOUR = rational(3600);

function ofDose(key: ColumnKey, heading: string, text: (row: DoseRow) => string | undefined): Column {
  return { key, heading, text: (of) => (of.kind === "dose" ? (text(of.row) ?? "") : "") };
}

/** A mass. A rescue drug that is written and limited by volume is given by volume: its mass would only distract. */
function ofMass(key: ColumnKey, heading: string, text: (row: DoseRow) => string | undefined): Column {
  return ofDose(key, heading, (row) => (isByVolume(row.dose) ? undefined : text(row)));
}

function isByVolume({ agent, amount }: Dose): boolean {
  const isRescue = agent?.kind?.value === "rescue";
  return isRescue && amount?.dimension.volume === 1 && agent.maxima.every(isVolumeLimit);
}

/** The measure of the patient, or the range of measures for which the row is the same. */
function ofPatient(heading: string, variable: Variable, unit: string): Column {
  return {
    key: variable,
    heading,
    text: ({ row }) => {
      const range = row.ranges[variable];
      const value = row.patient[variable];
      if (range) return rangeText(range, unit);
      return value ? atMost(value) : "";
    },
  };
}

function purposeOf({ protocol, kind, row }: TableRow): string {
  if (kind === "pressure") return "cuff pressure";
  const { emergency } = row.dose;
  if (emergency === undefined) return "block";
  return protocol.emergencies.find(({ name }) => name === emergency)?.title ?? emergency;
}

function concentrationOf({ concentration }: Dose): string | undefined {
  return concentration && atMost(inBase(concentration));
}

function perWeight(value: DoseRow["mass"], { weight }: RowPatient["patient"]): string | undefined {
  return value && weight && atLeast(value.div(weight));
}

function ampouleOf({ agent }: Dose): string | undefined {
  const supply = agent?.supply;
  return supply && `${quantityText(supply.concentration)} in ${quantityText(supply.volume)}`;
}

function mixedInText({ agent, mass, volume }: MixedIn): string {
  const amounts = [mass && `${atMost(mass)} mg`, volume && `${atMost(volume)} mL`].filter(Boolean);
  return `${agent} ${amounts.join(" in ")}`;
}

function repeatOf({ repeat }: Dose): string | undefined {
  if (!repeat) return undefined;
  const condition = repeat.condition ? ` if ${repeat.condition.value}` : "";
  return `${repeat.times} more, every ${quantityText(repeat.interval)}${condition}`;
}

function pressureOf({ kind, row }: TableRow): string {
  return kind === "pressure" && row.pressure ? atMost(row.pressure) : "";
}

function noteOf({ protocol, kind, row }: TableRow): string {
  if (kind === "dose") return row.isLeftOut ? "no dose by this protocol" : "";
  if (!row.pressure) return "no pressure by this protocol";
  const ceiling = protocol.cuffs?.ceiling;
  return row.isOverCeiling && ceiling ? `over the ceiling of ${quantityText(ceiling)}` : "";
}

/** Decimals of an amount in a table: a syringe shows no more. */
const PLACES = 2;

/** A number for a reader, never more than it is: at most two decimals, no trailing zero, commas in thousands. */
function atMost(value: Rational): string {
  return writeNumber(floorTo(value, ratio(1, 10 ** PLACES)));
}

/** A number for a reader, never less than it is: for what is held against a maximum. */
function atLeast(value: Rational): string {
  return writeNumber(floorTo(value.neg(), ratio(1, 10 ** PLACES)).neg());
}

function writeNumber(value: Rational): string {
  const [whole = "0", fraction] = decimalText(value, PLACES).text.split(".");
  return fraction ? `${thousands(whole)}.${fraction}` : thousands(whole);
}
