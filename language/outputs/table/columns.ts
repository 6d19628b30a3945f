import { inBase, quantityText, rational } from "@limbwright/shared/quantity";
import type { Dose, Protocol } from "../../model/index.ts";
import { rangeText, type Variable } from "../../population/index.ts";
import { isVolumeLimit } from "../../rules/maximum.ts";
import type { DoseRow, MixedIn } from "./dose-rows.ts";
import { atLeast, atMost } from "./numbers.ts";
import type { RowPatient } from "./patients.ts";
import type { PressureRow } from "./pressure-rows.ts";

/** A row of the table with the protocol it belongs to. */
export type TableRow = { readonly protocol: Protocol } & (
  | { readonly kind: "dose"; readonly row: DoseRow }
  | { readonly kind: "pressure"; readonly row: PressureRow }
);

/** A column: its heading, with the unit, and its text for a row; empty where it says nothing about one. */
export interface Column {
  readonly heading: string;
  readonly text: (row: TableRow) => string;
}

/** Every column, in order; `graduation` is that of the syringe, "1 mL". */
export function columnsOf(graduation: string): Column[] {
  return [
    { heading: "For", text: purposeOf },
    ofDose("Dose", ({ dose }) => dose.name),
    ofDose("Agent", ({ dose }) => dose.agent?.name),
    ofDose("Concentration (mg/mL)", ({ dose }) => concentrationOf(dose)),
    ofPatient("Weight (kg)", "weight", "kg"),
    ofPatient("Age", "age", "years"),
    ofPatient("Systolic (mmHg)", "systolic", "mmHg"),
    ofPatient("Circumference", "circumference", "cm"),
    ofMass("Dose by formula (mg)", ({ mass }) => mass && atMost(mass)),
    ofDose("Volume by formula (mL)", ({ volume }) => volume && atMost(volume)),
    ofDose("Cap in force", ({ cap }) => cap),
    ofDose(`Volume to draw up, rounded down to ${graduation} (mL)`, ({ drawn }) => drawn && atMost(drawn)),
    ofMass("Dose drawn up (mg)", ({ drawnMass }) => drawnMass && atMost(drawnMass)),
    ofMass("Dose drawn up (mg/kg, rounded up)", ({ drawnMass, patient }) => perWeight(drawnMass, patient)),
    ofDose("Volume drawn up (mL/kg, rounded up)", ({ drawn, patient }) => perWeight(drawn, patient)),
    ofDose(
      "Share of the nearest maximum (%, rounded up)",
      ({ share }) => share && atLeast(share.of.mul(100)),
    ),
    ofDose("Nearest maximum", ({ share }) => share?.maximum),
    ofDose("Taken from ampoules (mL)", ({ preparation }) => preparation && atMost(preparation.stock)),
    ofDose("Ampoules opened", ({ preparation }) => preparation && atMost(preparation.ampoules)),
    ofDose("Ampoule", ({ dose, preparation }) => preparation && ampouleOf(dose)),
    ofDose("Diluent added (mL)", ({ preparation }) => preparation && atMost(preparation.diluent)),
    ofDose("Diluent", ({ dose, preparation }) => preparation && dose.agent?.diluent?.value),
    ofDose("Mixed in", ({ mixedIn }) => mixedIn.map(mixedInText).join("; ")),
    ofDose("Repeated", ({ dose }) => repeatOf(dose)),
    ofDose("Rate (mL/h)", ({ rate, isMassRate }) =>
      isMassRate ? undefined : rate && atMost(rate.mul(HOUR)),
    ),
    ofDose("Rate (mg/h)", ({ rate, isMassRate }) =>
      isMassRate ? rate && atMost(rate.mul(HOUR)) : undefined,
    ),
    ofDose("Total at most (mL)", ({ total, isMassTotal }) =>
      isMassTotal ? undefined : total && atMost(total),
    ),
    ofDose("Total at most (mg)", ({ total, isMassTotal }) =>
      isMassTotal ? total && atMost(total) : undefined,
    ),
    { heading: "Cuff pressure (mmHg)", text: pressureOf },
    { heading: "Note", text: noteOf },
  ];
}

const HOUR = rational(3600);

function ofDose(heading: string, text: (row: DoseRow) => string | undefined): Column {
  return { heading, text: (of) => (of.kind === "dose" ? (text(of.row) ?? "") : "") };
}

/** A mass. A rescue drug that is written and limited by volume is given by volume: its mass would only distract. */
function ofMass(heading: string, text: (row: DoseRow) => string | undefined): Column {
  return ofDose(heading, (row) => (isByVolume(row.dose) ? undefined : text(row)));
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
