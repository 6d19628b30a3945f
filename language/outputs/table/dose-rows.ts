import { contains, floorTo, inBase, type Rational } from "@limbwright/shared/quantity";
import type { Adjuvant, Agent, Dose, Maximum, WrittenQuantity } from "../../model/index.ts";
import { type Box, evaluate, type Patient } from "../../population/index.ts";
import { isVolumeLimit, limitExpression, limitText, patientsUnder } from "../../rules/facts/maximum.ts";
import { capInForce } from "./cap.ts";
import { bandsIn, type RowPatient, rowPatients } from "./patients.ts";

/** What one patient gets of one dose. Numbers are exact, in mg, mL, mL/s or mg/s. */
export interface DoseRow extends RowPatient {
  readonly dose: Dose;
  /** By the formula; undefined where the protocol gives this patient no such dose, or cannot tell. */
  readonly mass?: Rational;
  readonly volume?: Rational;
  /** What is drawn up: the volume rounded down to the syringe's graduation, and the mass in it. */
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

export interface MixedIn {
  readonly agent: string;
  readonly mass?: Rational;
  readonly volume?: Rational;
}

/** A row a patient for a dose; undefined where the patients are without limits in weight, or too many. */
export function doseRows(dose: Dose, box: Box, graduation: Rational): DoseRow[] | undefined {
  const { amount, rate, total, adjuvants, agent } = dose;
  const nodes = [amount, rate, total, ...adjuvants.map((one) => one.amount)].flatMap(
    (one) => one?.node ?? [],
  );
  const maxima = (agent?.maxima ?? []).filter((maximum) => patientsUnder(box, maximum) !== undefined);
  const patients = rowPatients(box, { variable: "weight", step: 1 }, bandsIn(nodes, maxima));
  return patients?.map((patient) => doseRow(dose, patient, maxima, graduation));
}

/** The row of one patient, held against those of the maxima that can be for him or her. */
export function doseRow(
  dose: Dose,
  row: RowPatient,
  maxima: readonly Maximum[],
  graduation: Rational,
): DoseRow {
  const { amount, rate, total } = dose;
  const amounts = amountsOf(dose, row, graduation);
  const { drawn, drawnMass } = amounts;
  const share = nearestMaximum(row, maxima, drawnMass, drawn);
  const cap = amount && capInForce(amount.node, row.patient, dose.concentration);
  const flow = rate && evaluate(rate.expression, row.patient);
  const most = total && evaluate(total.expression, row.patient);
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
    mixedIn: dose.adjuvants.map((adjuvant) => amountMixedIn(adjuvant, row)),
    isLeftOut: (amount !== undefined && !amounts.mass && !amounts.volume) || (rate !== undefined && !flow),
  };
}

function amountsOf(
  { mass, volume, concentration, agent }: Dose,
  { patient }: RowPatient,
  graduation: Rational,
): Pick<DoseRow, "mass" | "volume" | "drawn" | "drawnMass" | "preparation"> {
  const heavy = mass && evaluate(mass, patient);
  const wide = volume && evaluate(volume, patient);
  const drawn = wide && floorTo(wide, graduation);
  const drawnMass = drawn && concentration ? drawn.mul(inBase(concentration)) : heavy;
  const preparation = drawn && concentration && preparationOf(drawn, concentration, agent?.supply);
  return {
    ...(heavy && { mass: heavy }),
    ...(wide && { volume: wide }),
    ...(drawn && { drawn }),
    ...(drawnMass && { drawnMass }),
    ...(preparation && { preparation }),
  };
}

function amountMixedIn({ agent, mass, volume }: Adjuvant, { patient }: RowPatient): MixedIn {
  const heavy = mass && evaluate(mass, patient);
  const wide = volume && evaluate(volume, patient);
  return { agent: agent?.name ?? "", ...(heavy && { mass: heavy }), ...(wide && { volume: wide }) };
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

function isFor({ ages }: Maximum, { age }: Patient): boolean {
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
