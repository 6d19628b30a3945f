import {
  type Dimension,
  exactText,
  MASS,
  MASS_RATE,
  type MassUnit,
  massUnitIn,
  PRESSURE,
  type Rational,
  unitWithCode,
  VOLUME,
  VOLUME_RATE,
} from "../quantity/index.ts";
import type {
  Dose,
  Formula,
  Milligrams,
  Millilitres,
  Pressure,
  Protocol,
  RatePerHour,
} from "../rule-file/generated/rule-file.ts";
import { baseValue } from "../rule-file/measures.ts";
import { formulaValue, inDimension } from "./formula.ts";
import { type Measured, valuesIn } from "./patient.ts";

/** How much of a drug; one of the two is missing where no single concentration turns one into the other. */
export interface Amount {
  readonly mass?: Milligrams;
  readonly volume?: Millilitres;
}

/** What one dose of a protocol is for one patient, exactly. */
export interface DoseForPatient {
  readonly dose: string;
  readonly agent: string;
  /** The unit that the protocol writes its mass in, and that people are told it in; the amounts here are in mg. */
  readonly massUnit: MassUnit;
  readonly amount?: Amount;
  readonly rate?: RatePerHour;
  /** Of an infusion: how much of the agent the run has had when it stops. */
  readonly total?: Amount;
  readonly adjuvants: readonly {
    readonly agent: string;
    readonly massUnit: MassUnit;
    readonly amount?: Amount;
  }[];
}

/** Undefined where there is no dose of that name. What a formula does not give is missing. */
export function doseFor(protocol: Protocol, patient: Measured, name: string): DoseForPatient | undefined {
  const dose = protocol.doses.find((one) => one.name === name);
  if (!dose) return undefined;
  const concentration = dose.concentration && baseValue(dose.concentration);
  const amount = amountFor(dose.amount?.formula, patient, concentration);
  // A total ends an infusion; fixed amounts are given as they are.
  const total = dose.rate && amountFor(dose.total?.formula, patient, concentration);
  const rate = dose.rate && rateFor(dose.rate.formula, patient, concentration);
  return {
    dose: name,
    agent: dose.agent,
    massUnit: massUnitOf(dose),
    ...(amount && { amount }),
    ...(rate && { rate }),
    ...(total && { total }),
    adjuvants: adjuvantsFor(protocol, dose, patient),
  };
}

/** The unit of mass that a dose is written in; that of its strength where it is written as a volume. */
export function massUnitOf({
  amount,
  rate,
  concentration,
}: Pick<Dose, "amount" | "rate" | "concentration">): MassUnit {
  const codes = [...valuesIn((amount ?? rate)?.formula, "unit"), concentration?.unit];
  const units = codes.map((code) => massUnitIn(unitWithCode(String(code))?.symbol ?? ""));
  return units.find((unit) => unit !== undefined) ?? "mg";
}

/** The pressure that the cuffs are inflated to. */
export function pressureFor({ cuffs }: Protocol, patient: Measured): Pressure | undefined {
  const { pressure, occlusion } = cuffs;
  const value = pressure && formulaValue(pressure, { patient, ...(occlusion && { occlusion }) });
  return value && inDimension(value, PRESSURE, undefined) && measure(value.value, "mm[Hg]");
}

function adjuvantsFor(
  { agents }: Protocol,
  { adjuvants }: Dose,
  patient: Measured,
): DoseForPatient["adjuvants"] {
  return adjuvants.map(({ agent: name, amount: written }) => {
    const [only, another] = agents.find((one) => one.name === name)?.concentrations ?? [];
    const concentration = only && !another ? baseValue(only) : undefined;
    const amount = amountFor(written?.formula, patient, concentration);
    const massUnit = massUnitOf({
      ...(written && { amount: written }),
      ...(only && { concentration: only }),
    });
    return { agent: name, massUnit, ...(amount && { amount }) };
  });
}

function amountFor(
  formula: Formula | undefined,
  patient: Measured,
  concentration: Rational | undefined,
): Amount | undefined {
  const value = formula && formulaValue(formula, { patient, ...(concentration && { concentration }) });
  if (!value) return undefined;
  const mass = inDimension(value, MASS, concentration);
  const volume = inDimension(value, VOLUME, concentration);
  return {
    ...(mass && { mass: measure(mass.value, "mg") }),
    ...(volume && { volume: measure(volume.value, "mL") }),
  };
}

function rateFor(
  formula: Formula,
  patient: Measured,
  concentration: Rational | undefined,
): RatePerHour | undefined {
  const value = formulaValue(formula, { patient, ...(concentration && { concentration }) });
  const is = (dimension: Dimension) => inDimension(value, dimension, undefined)?.value.mul(HOUR);
  const [mass, volume] = [is(MASS_RATE), is(VOLUME_RATE)];
  return (mass && measure(mass, "mg/h")) ?? (volume && measure(volume, "mL/h"));
}

const HOUR = 3600;

function measure<Code extends string>(value: Rational, unit: Code): { value: string; unit: Code } {
  return { value: exactText(value), unit };
}
