import { inBase, type Rational } from "@limbwright/shared/quantity";
import type { CuffSet } from "../../model/index.ts";
import { type Box, evaluate, variablesOf } from "../../population/index.ts";
import { bandsIn, type RowPatient, rowPatients } from "./patients.ts";

/** The pressure of the cuffs for one patient, mmHg. */
export interface PressureRow extends RowPatient {
  /** Undefined where the formula has no value for this patient. */
  readonly pressure?: Rational;
  readonly isOverCeiling: boolean;
}

/** Steps of systolic pressure, mmHg: pressures are read off a gauge with marks like that. */
const SYSTOLIC_STEP = 5;

/** A row for each systolic pressure, and for each range of limbs; undefined where they are without limits. */
export function pressureRows(cuffs: CuffSet, box: Box): PressureRow[] | undefined {
  const { pressure } = cuffs;
  if (!pressure) return [];
  const usesSystolic = variablesOf(pressure.expression).includes("systolic");
  const stepped = usesSystolic ? { variable: "systolic" as const, step: SYSTOLIC_STEP } : undefined;
  return rowPatients(box, stepped, bandsIn([pressure.node]))?.map((row) => pressureRow(cuffs, row));
}

/** The row of one patient. */
export function pressureRow({ pressure, ceiling }: CuffSet, row: RowPatient): PressureRow {
  const value = pressure && evaluate(pressure.expression, row.patient);
  const isOverCeiling = value !== undefined && ceiling !== undefined && value.compare(inBase(ceiling)) > 0;
  return { ...row, ...(value && { pressure: value }), isOverCeiling };
}
