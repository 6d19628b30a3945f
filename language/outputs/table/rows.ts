import {
  contains,
  type DrawnUp,
  inBase,
  type MassUnit,
  quantityText,
  type Rational,
  volumeOnPaper,
} from "@limbwright/shared/quantity";
import {
  type Adjuvant,
  type Agent,
  type AmountNode,
  amountOfNode,
  type CuffSet,
  type Dose,
  type Maximum,
  massUnitMixedIn,
  type Syringe,
  type WrittenQuantity,
} from "../../model/index.ts";
import { type Box, evaluate, type Patient, variablesOf } from "../../population/index.ts";
import { isVolumeLimit, limitExpression, limitText, patientsUnder } from "../../rules/facts/maximum.ts";
import { type DrawingUp, drawnUp, isRescue, syringeFor } from "../../rules/facts/syringes.ts";
import { valueFor, withRowsBetween } from "./between-rows.ts";
import { bandsIn, type RowPatient, rowPatients } from "./patients.ts";

/** What one patient gets of one dose. Numbers are exact, in mg, mL, mL/s or mg/s. */
export interface DoseRow extends RowPatient {
  readonly dose: Dose;
  /** By the formula; undefined where the protocol gives this patient no such dose, or cannot tell. */
  readonly mass?: Rational;
  readonly volume?: Rational;
  /** How the volume is drawn up, and in what where somebody says so; undefined where the dose has no volume. */
  readonly drawing?: DrawnUp;
  readonly syringe?: Syringe;
  /** What is drawn up, and the mass in it; undefined where the syringe cannot measure the dose. */
  readonly drawn?: Rational;
  readonly drawnMass?: Rational;
  /** The share of the nearest maximum that is drawn up, and that maximum in words. */
  readonly share?: { readonly of: Rational; readonly maximum: string };
  readonly cap?: string;
  readonly preparation?: Preparation;
  readonly rate?: Rational;
  readonly isMassRate: boolean;
  readonly total?: Rational;
  readonly isMassTotal: boolean;
  readonly mixedIn: readonly MixedIn[];
  /** Whether the formula has no value for this patient. */
  readonly isLeftOut: boolean;
}

export interface MixedIn extends Pick<DoseRow, "mass" | "volume" | "drawn"> {
  readonly agent: string;
  readonly massUnit: MassUnit;
}

/** A row a patient for a dose; undefined where the patients are without limits in weight, or too many. */
export function doseRows(dose: Dose, box: Box, by: DrawingUp): DoseRow[] | undefined {
  const { amount, rate, total, adjuvants, agent, mass, volume } = dose;
  const nodes = [amount, rate, total, ...adjuvants.map((one) => one.amount)].flatMap(
    (one) => one?.node ?? [],
  );
  const maxima = (agent?.maxima ?? []).filter((maximum) => patientsUnder(box, maximum) !== undefined);
  const patients = rowPatients(box, { variable: "weight", step: 1 }, bandsIn(nodes, maxima));
  const given = [
    mass,
    volume,
    rate?.expression,
    total?.expression,
    ...adjuvants.map((one) => one.mass ?? one.volume),
  ];
  const shown =
    patients &&
    withRowsBetween(
      patients,
      given.filter((one) => one !== undefined),
      DIPS,
    );
  return shown?.map((patient) => doseRow(dose, patient, maxima, by));
}

/** Between two rows the dose that gives less counts: one that is less than both has a row of its own. */
const DIPS = { variable: "weight", takes: "least" } as const;

/**
 * The row of one patient, held against those of the maxima that can be for him or her; `by` is how its
 * protocol draws up.
 */
export function doseRow(dose: Dose, row: RowPatient, maxima: readonly Maximum[], by: DrawingUp): DoseRow {
  const { amount, rate, total } = dose;
  const amounts = amountsOf(dose, row, by);
  const { drawn, drawnMass } = amounts;
  const share = nearestMaximum(row, maxima, drawnMass, drawn);
  const cap = row.between ? undefined : amount && capInForce(amount.node, row.patient, dose.concentration);
  const flow = rate && valueFor(rate.expression, row);
  // A total ends an infusion; a syringe gives what it gives.
  const most = rate && total && valueFor(total.expression, row);
  return {
    ...row,
    ...amounts,
    dose,
    ...(share && { share }),
    ...(cap !== undefined && { cap }),
    ...(flow && { rate: flow }),
    isMassRate: rate?.dimension.mass === 1,
    ...(most && { total: most }),
    isMassTotal: total?.dimension.mass === 1,
    mixedIn: dose.adjuvants.map((one) => mixedIn(dose, one, row, by)),
    isLeftOut: (amount !== undefined && !amounts.mass && !amounts.volume) || (rate !== undefined && !flow),
  };
}

function amountsOf(
  dose: Dose,
  row: RowPatient,
  by: DrawingUp,
): Pick<DoseRow, "mass" | "volume" | "drawing" | "syringe" | "drawn" | "drawnMass" | "preparation"> {
  const { concentration, agent } = dose;
  const exact = exactAmounts(dose, row);
  const syringe = syringeFor(dose);
  const drawing = exact.volume && drawnUp(exact.volume, syringe, by);
  const drawn = volumeOnPaper(drawing, exact.volume, isRescue(dose, agent, by));
  const massIn = drawn && concentration ? drawn.mul(inBase(concentration)) : exact.mass;
  const drawnMass = exact.volume && !drawn ? undefined : massIn;
  const preparation = drawn && concentration && preparationOf(drawn, concentration, agent?.supply);
  return {
    ...exact,
    ...(drawing && { drawing }),
    ...(syringe && { syringe }),
    ...(drawn && { drawn }),
    ...(drawnMass && { drawnMass }),
    ...(preparation && { preparation }),
  };
}

function mixedIn(dose: Dose, adjuvant: Adjuvant, row: RowPatient, by: DrawingUp): MixedIn {
  const exact = exactAmounts(adjuvant, row);
  const drawing = exact.volume && drawnUp(exact.volume, adjuvant.agent?.syringe, by);
  const isToRescue = isRescue(dose, adjuvant.agent, by);
  const drawn = volumeOnPaper(drawing, exact.volume, isToRescue);
  const massUnit = massUnitMixedIn(adjuvant);
  return { agent: adjuvant.agent?.name ?? "", massUnit, ...exact, ...(drawn && { drawn }) };
}

/** What a patient gets, as mass and as volume, by the formula. */
function exactAmounts(
  of: Pick<Dose | Adjuvant, "mass" | "volume">,
  row: RowPatient,
): Pick<DoseRow, "mass" | "volume"> {
  const mass = of.mass && valueFor(of.mass, row);
  const volume = of.volume && valueFor(of.volume, row);
  return { ...(mass && { mass }), ...(volume && { volume }) };
}

/** The maximum that comes nearest for this patient. */
function nearestMaximum(
  { patient }: RowPatient,
  maxima: readonly Maximum[],
  mass: Rational | undefined,
  volume: Rational | undefined,
): DoseRow["share"] {
  let nearest: DoseRow["share"];
  for (const maximum of maxima) {
    const given = isVolumeLimit(maximum) ? volume : mass;
    const limit = isFor(maximum, patient) ? evaluate(limitExpression(maximum), patient) : undefined;
    if (!given || !limit || limit.compare(0) <= 0) continue;
    const share = { of: given.div(limit), maximum: limitText(maximum) };
    if (!nearest || share.of.compare(nearest.of) > 0) nearest = share;
  }
  return nearest;
}

/** Whether a maximum, which may be one for some ages, is for a patient. */
export function isFor({ ages }: Maximum, { age }: Patient): boolean {
  return !ages || (age !== undefined && contains(ages, age));
}

/** How a volume at a concentration is made up from what is supplied. */
interface Preparation {
  /** What is taken out of ampoules, mL. */
  readonly stock: Rational;
  /** How many ampoules have to be opened. */
  readonly ampoules: Rational;
  /** What is added, mL. */
  readonly diluent: Rational;
}

/** Undefined where the supply is not known, or is weaker than what is to be given. */
function preparationOf(
  volume: Rational,
  concentration: WrittenQuantity,
  supply: Agent["supply"],
): Preparation | undefined {
  if (!supply) return undefined;
  const strength = inBase(supply.concentration).div(inBase(concentration));
  if (strength.compare(1) < 0) return undefined;
  const stock = volume.div(strength);
  return { stock, ampoules: stock.div(inBase(supply.volume)).ceil(), diluent: volume.sub(stock) };
}

/** The cap that holds an amount down for a patient, in words; undefined where none does. */
export function capInForce(
  node: AmountNode,
  patient: Patient,
  concentration: WrittenQuantity | undefined,
): string | undefined {
  const inner = (part: AmountNode) => capInForce(part, patient, concentration);
  switch (node.kind) {
    case "capped": {
      const before = inner(node.of);
      const isHeld = isLess(node, node.of, patient, concentration);
      return isHeld ? capText(node.limit) : before;
    }
    case "rounded-down":
    case "share":
      return inner(node.of);
    case "lesser":
      return inner(isLess(node, node.left, patient, concentration) ? node.right : node.left);
    case "greater":
      return inner(isLess(node.left, node, patient, concentration) ? node.right : node.left);
    case "bands": {
      const value = patient[node.variable];
      const row = value && node.rows.find(({ range }) => contains(range.interval, value));
      return row && inner(row.amount);
    }
    case "quantity":
    case "variable":
    case "occlusion-pressure":
    case "sum":
    case "difference":
      return undefined;
  }
}

function capText(limit: AmountNode): string {
  return limit.kind === "quantity" ? quantityText(limit.quantity) : "its cap";
}

/** Whether one part gives a patient less than another. */
function isLess(
  one: AmountNode,
  other: AmountNode,
  patient: Patient,
  concentration: WrittenQuantity | undefined,
): boolean {
  const amounts = [amountOfNode(one, concentration), amountOfNode(other, concentration)];
  const [left, right] = amounts.map((amount) => amount && evaluate(amount.expression, patient));
  return left !== undefined && right !== undefined && left.compare(right) < 0;
}

/** The pressure of the cuffs for one patient, mmHg. */
export interface PressureRow extends RowPatient {
  /** Undefined where the formula has no value for this patient. */
  readonly pressure?: Rational;
  readonly isOverCeiling: boolean;
}

/** Steps of systolic pressure, mmHg: pressures are read off a gauge with marks like that. */
const SYSTOLIC_STEP = 5;

/** Between two rows the higher pressure counts: one that is higher than both has a row of its own. */
const RISES = { variable: "systolic", takes: "greatest" } as const;

/** A row for each systolic pressure, and for each range of limbs; undefined where they are without limits. */
export function pressureRows(cuffs: CuffSet, box: Box): PressureRow[] | undefined {
  const { pressure } = cuffs;
  if (!pressure) return [];
  const usesSystolic = variablesOf(pressure.expression).includes("systolic");
  const stepped = usesSystolic ? { variable: "systolic" as const, step: SYSTOLIC_STEP } : undefined;
  const patients = rowPatients(box, stepped, bandsIn([pressure.node]));
  const shown = patients && withRowsBetween(patients, [pressure.expression], RISES);
  return shown?.map((row) => pressureRow(cuffs, row));
}

/** The row of one patient. */
export function pressureRow({ pressure, ceiling }: CuffSet, row: RowPatient): PressureRow {
  const value = pressure && valueFor(pressure.expression, row);
  const isOverCeiling = value !== undefined && ceiling !== undefined && value.compare(inBase(ceiling)) > 0;
  return { ...row, ...(value && { pressure: value }), isOverCeiling };
}
