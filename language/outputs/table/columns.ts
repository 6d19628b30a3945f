import {
  decimalText,
  floorTo,
  inBase,
  type MassUnit,
  massText,
  paperText,
  quantityText,
  type Rational,
  ratio,
  rational,
} from "@limbwright/shared/quantity";
import { type Dose, massUnitOf, type Protocol } from "../../model/index.ts";
import { rangeText, type Variable } from "../../population/index.ts";
import { isVolumeLimit } from "../../rules/facts/maximum.ts";
import { syringeText } from "../../rules/facts/syringes.ts";
import type { RowPatient } from "./patients.ts";
import type { DoseRow, MixedIn, PressureRow } from "./rows.ts";

/** A row of the table with the protocol it belongs to. */
export type TableRow = { readonly protocol: Protocol } & (
  | { readonly kind: "dose"; readonly row: DoseRow }
  | { readonly kind: "pressure"; readonly row: PressureRow }
);

/** A column: its heading, with the unit, and its text for a row; empty where it says nothing about one. */
interface Column {
  readonly heading: string;
  readonly text: (row: TableRow) => string;
}

/** What a column says, whatever its heading is. */
export type ColumnKey = keyof typeof COLUMNS;

/** Every column, in order. */
export const COLUMNS = {
  for: { heading: "For", text: purposeOf },
  dose: ofDose("Dose", ({ dose }) => dose.name),
  agent: ofDose("Agent", ({ dose }) => dose.agent?.name),
  concentration: ofDose("Concentration (mg/mL)", ({ dose }) =>
    atMost(dose.concentration && inBase(dose.concentration)),
  ),
  weight: ofPatient("Weight (kg)", "weight", "kg"),
  age: ofPatient("Age", "age", "years"),
  systolic: ofPatient("Systolic (mmHg)", "systolic", "mmHg"),
  circumference: ofPatient("Circumference", "circumference", "cm"),
  mass: ofMass("mg", "Dose by formula (mg)", ({ mass }) => mass),
  massMicrograms: ofMass("mcg", "Dose by formula (mcg)", ({ mass }) => mass),
  massGrams: ofMass("g", "Dose by formula (g)", ({ mass }) => mass),
  volume: ofDose("Volume by formula (mL)", ({ volume }) => atMost(volume)),
  cap: ofDose("Cap in force", ({ cap }) => cap),
  drawn: ofDose("Volume to draw up, down to a mark of the syringe (mL)", drawnText),
  syringe: ofDose("Syringe", drawingText),
  drawnMass: ofMass("mg", "Dose drawn up (mg)", ({ drawnMass }) => drawnMass),
  drawnMicrograms: ofMass("mcg", "Dose drawn up (mcg)", ({ drawnMass }) => drawnMass),
  drawnGrams: ofMass("g", "Dose drawn up (g)", ({ drawnMass }) => drawnMass),
  massPerWeight: ofMass("mg", "Dose drawn up (mg/kg, rounded up)", drawnPerWeight, atLeast),
  microgramsPerWeight: ofMass("mcg", "Dose drawn up (mcg/kg, rounded up)", drawnPerWeight, atLeast),
  gramsPerWeight: ofMass("g", "Dose drawn up (g/kg, rounded up)", drawnPerWeight, atLeast),
  volumePerWeight: ofDose("Volume drawn up (mL/kg, rounded up)", ({ drawn, patient }) =>
    perWeight(drawn, patient),
  ),
  share: ofDose(
    "Share of the nearest maximum (%, rounded up)",
    ({ share }) => share && atLeast(share.of.mul(100)),
  ),
  maximum: ofDose("Nearest maximum", ({ share }) => share?.maximum),
  stock: ofDose("Taken from ampoules (mL)", ({ preparation }) => atMost(preparation?.stock)),
  ampoules: ofDose("Ampoules opened", ({ preparation }) => atMost(preparation?.ampoules)),
  ampoule: ofDose("Ampoule", ({ dose, preparation }) => preparation && ampouleOf(dose)),
  diluentVolume: ofDose("Diluent added (mL)", ({ preparation }) => atMost(preparation?.diluent)),
  diluent: ofDose("Diluent", ({ dose, preparation }) => preparation && dose.agent?.diluent?.value),
  mixedIn: ofDose("Mixed in", ({ mixedIn }) => mixedIn.map(mixedInText).join("; ")),
  repeated: ofDose("Repeated", ({ dose }) => repeatOf(dose)),
  rateVolume: ofDose("Rate (mL/h)", (row) => (row.isMassRate ? undefined : perHour(row))),
  rateMass: ofMass("mg", "Rate (mg/h)", massRate),
  rateMicrograms: ofMass("mcg", "Rate (mcg/h)", massRate),
  rateGrams: ofMass("g", "Rate (g/h)", massRate),
  totalVolume: ofDose("Total at most (mL)", ({ total, isMassTotal }) =>
    isMassTotal ? undefined : atMost(total),
  ),
  totalMass: ofTotal("mg", "Total at most (mg)"),
  totalMicrograms: ofTotal("mcg", "Total at most (mcg)"),
  totalGrams: ofTotal("g", "Total at most (g)"),
  pressure: { heading: "Cuff pressure (mmHg)", text: pressureOf },
  note: { heading: "Note", text: noteOf },
} satisfies Record<string, Column>;

const HOUR = rational(3600);

function perHour({ rate }: DoseRow): string | undefined {
  return atMost(rate?.mul(HOUR));
}

function ofDose(heading: string, text: (row: DoseRow) => string | undefined): Column {
  return { heading, text: (of) => (of.kind === "dose" ? (text(of.row) ?? "") : "") };
}

/** What is read off at a mark is told as it stands there; what follows the formula, never more than it is. */
function drawnText({ drawing, drawn }: DoseRow): string | undefined {
  return drawn && drawing?.kind !== "not-said" ? decimalText(drawn, PLACES_OF_MARKS).text : atMost(drawn);
}

function drawingText({ drawing, syringe }: DoseRow): string | undefined {
  if (!drawing) return undefined;
  if (syringe) return syringeText(syringe);
  return drawing.kind === "not-said" ? "none named: not rounded" : TO_WHOLE_ML;
}

/** Of a dose for which nobody names a syringe, and which is no small one. */
export const TO_WHOLE_ML = "none named: down to a whole mL";

/**
 * A mass, in the unit that its dose is written in. A rescue drug that is written and limited by volume is given by volume: its mass would
 * only distract.
 */
function ofMass(
  unit: MassUnit,
  heading: string,
  mass: (row: DoseRow) => Rational | undefined,
  text: (value: Rational) => string = paperText,
): Column {
  return ofDose(heading, (row) => {
    const value = isByVolume(row.dose) || massUnitOf(row.dose) !== unit ? undefined : mass(row);
    return value && massText(value, unit, text);
  });
}

function drawnPerWeight({ drawnMass, patient: { weight } }: DoseRow): Rational | undefined {
  return drawnMass && weight && drawnMass.div(weight);
}

function massRate({ isMassRate, rate }: DoseRow): Rational | undefined {
  return isMassRate ? rate?.mul(HOUR) : undefined;
}

/** Of an infusion, in the unit that its total is written in: that may be another than its rate's. */
function ofTotal(unit: MassUnit, heading: string): Column {
  return ofDose(heading, ({ dose, total, isMassTotal }) => {
    const isTold = isMassTotal && dose.total && massUnitOf({ amount: dose.total }) === unit;
    return total && isTold ? massText(total, unit, paperText) : undefined;
  });
}

function isByVolume({ agent, amount }: Dose): boolean {
  const isRescue = agent?.kind?.value === "rescue";
  return isRescue && amount?.dimension.volume === 1 && agent.maxima.every(isVolumeLimit);
}

/** The measure of the patient, or the range of measures for which the row is the same. */
function ofPatient(heading: string, variable: Variable, unit: string): Column {
  return {
    heading,
    text: ({ row }) => {
      const range = row.ranges[variable];
      return range ? rangeText(range, unit) : (atMost(row.patient[variable]) ?? "");
    },
  };
}

function purposeOf({ protocol, kind, row }: TableRow): string {
  return kind === "pressure" ? "cuff pressure" : purposeOfDose(row.dose, protocol);
}

/** "lidocaine 0.5 %"; empty where no agent is known. */
export function drugText({ agent, concentration }: Dose): string {
  return [agent?.name ?? "", concentration ? quantityText(concentration) : ""].join(" ").trimEnd();
}

/** "block", or the title of an emergency. */
export function purposeOfDose({ emergency }: Dose, protocol: Protocol): string {
  return emergency === undefined ? "block" : emergencyTitle(emergency, protocol);
}

export function emergencyTitle(name: string, { emergencies }: Protocol): string {
  return emergencies.find((one) => one.name === name)?.title ?? name;
}

function perWeight(value: DoseRow["mass"], { weight }: RowPatient["patient"]): string | undefined {
  return value && weight && atLeast(value.div(weight));
}

function ampouleOf({ agent }: Dose): string | undefined {
  const supply = agent?.supply;
  return supply && `${quantityText(supply.concentration)} in ${quantityText(supply.volume)}`;
}

function mixedInText({ agent, mass, massUnit, volume, drawn }: MixedIn): string {
  const amounts = [
    mass && `${massText(mass, massUnit, paperText)} ${massUnit}`,
    drawn && `${atMost(drawn)} mL`,
  ].filter(Boolean);
  const lost = volume && !drawn ? ", which its syringe cannot measure" : "";
  return `${agent} ${amounts.join(" in ")}${lost}`;
}

function repeatOf({ repeat }: Dose): string | undefined {
  if (!repeat) return undefined;
  const condition = repeat.condition ? ` if ${repeat.condition.value}` : "";
  return `${repeat.times} more, every ${quantityText(repeat.interval)}${condition}`;
}

function pressureOf({ kind, row }: TableRow): string {
  return kind === "pressure" ? (atMost(row.pressure) ?? "") : "";
}

function noteOf({ protocol, kind, row }: TableRow): string {
  if (kind === "dose") {
    if (row.isLeftOut) return "no dose by this protocol";
    return row.volume && !row.drawn ? "its syringe cannot measure it" : "";
  }
  if (!row.pressure) return "no pressure by this protocol";
  const ceiling = protocol.cuffs?.ceiling;
  return row.isOverCeiling && ceiling ? `over the ceiling of ${quantityText(ceiling)}` : "";
}

/** Decimals of what is held against a maximum. */
const PLACES = 2;
/** As many as any syringe's marks have. */
const PLACES_OF_MARKS = 6;

/** A number for people and programs, never more than it is: few decimals, no trailing zero, nothing between thousands. */
function atMost(value: Rational | undefined): string | undefined {
  return value && paperText(value);
}

/** A number for a reader, never less than it is: for what is held against a maximum. */
function atLeast(value: Rational): string {
  return decimalText(floorTo(value.neg(), ratio(1, 10 ** PLACES)).neg(), PLACES).text;
}
