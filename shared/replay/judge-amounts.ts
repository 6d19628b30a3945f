import { decimalText, floorTo, type Rational, rational, unitWithCode } from "../quantity/index.ts";
import type { Dose, Patient, RuleFile } from "../rule-file/generated/rule-file.ts";
import { baseValue, type Measure } from "../rule-file/measures.ts";
import { doseFor, pressureFor } from "../runtime/amounts.ts";
import { measured } from "../runtime/patient.ts";
import { valuesIn } from "../runtime/values-in.ts";
import type { CaseRows, Written } from "./case-rows.ts";
import type { Deviation, NotJudged } from "./deviation.ts";
import { readMeasure } from "./judge-patient.ts";
import { placeOf } from "./places.ts";

/** So many amounts are remembered; patients of the same weight get the same. */
const MOST_REMEMBERED = 20_000;

/** What a dose may be: the formula, and the formula rounded down to the syringe's graduation. */
interface Planned {
  readonly most: Readonly<Partial<Record<"mg" | "mL", Rational>>>;
  readonly least: Readonly<Partial<Record<"mg" | "mL", Rational>>>;
}

export interface AmountOptions {
  /** The syringe's graduation in mL, as a decimal. */
  readonly graduation: string;
}

export interface JudgedAmounts {
  readonly deviations: readonly Deviation[];
  readonly notJudged: readonly NotJudged[];
}

/** Judges recorded doses and cuff pressures against the formulas of a protocol. */
export class AmountJudge {
  readonly #file: RuleFile;
  readonly #graduation: Rational;
  readonly #askedBy: ReadonlyMap<string, readonly (keyof Patient)[]>;
  readonly #planned = new Map<string, Planned | undefined>();

  constructor(file: RuleFile, { graduation }: AmountOptions) {
    this.#file = file;
    this.#graduation = rational(graduation);
    this.#askedBy = new Map(file.protocol.doses.map((dose) => [dose.name, measuresOf(dose)]));
  }

  /** `injected` are the doses of the plan that were begun, by their names. */
  judge(rows: CaseRows, patient: Patient, injected: readonly string[]): JudgedAmounts {
    const deviations: Deviation[] = [];
    const notJudged: NotJudged[] = [];
    const told = new Set<string>();
    for (const written of rows.doses) {
      const [, name = "", amount = ""] = /^\s*(\S+?)\s*(?::|\s)\s*(.+)$/.exec(written.text) ?? [];
      const dose = this.#file.protocol.doses.findIndex((one) => one.name === name);
      const given = readMeasure(amount, "");
      if (dose < 0 || !given) {
        rows.notes.add("unknown-value", written.line);
        rows.unreadable.push(written.line);
        continue;
      }
      told.add(name);
      const judged = this.#dose(dose, given, patient, written.line);
      if (typeof judged === "string") {
        notJudged.push({ because: "measure-not-given", words: judged, line: written.line });
      } else if (judged) deviations.push(judged);
    }
    for (const name of injected) {
      if (told.has(name)) continue;
      const words = `How much of \`${name}\` was given is not recorded.`;
      notJudged.push({ because: "dose-not-recorded", words });
    }
    for (const written of rows.pressures) this.#pressure(rows, written, patient, deviations, notJudged);
    return { deviations, notJudged };
  }

  /** A deviation; undefined where the dose is as planned; why it cannot be judged. */
  #dose(index: number, given: Measure, patient: Patient, line: number): Deviation | string | undefined {
    const dose = this.#file.protocol.doses[index] as Dose;
    const unit = given.unit === "mL" ? "mL" : "mg";
    const value = baseValue(given);
    const planned = this.#plannedFor(dose, patient);
    const [most, least] = [planned?.most[unit], planned?.least[unit]];
    if (!value || !most || !least || !["mL", "mg", "g", "ug", "L"].includes(given.unit)) {
      return `Whether the dose of \`${dose.name}\` is that of the protocol cannot be told from what is recorded.`;
    }
    if (value.compare(least) >= 0 && value.compare(most) <= 0) return undefined;
    const isMore = value.compare(most) > 0;
    const by = isMore ? value.sub(most) : least.sub(value);
    const weight = patient.weight && ` for ${patient.weight.value} ${patient.weight.unit}`;
    const is = least.equals(most) ? number(most) : `${number(least)} to ${number(most)}`;
    const place = placeOf(this.#file, `/protocol/doses/${index}/amount`);
    return {
      kind: "dose",
      what: dose.name,
      line,
      by: { value: number(by), unit },
      rules: [],
      ledTo: [],
      ...(place && { place }),
      words: `\`${dose.name}\`: ${number(value)} ${unit} given, ${number(by)} ${unit} ${isMore ? "more" : "less"} than the protocol's ${is} ${unit}${weight ?? ""}.`,
    };
  }

  #plannedFor(dose: Dose, patient: Patient): Planned | undefined {
    const asked = this.#askedBy.get(dose.name) ?? [];
    const key = `${dose.name} ${asked.map((measure) => `${patient[measure]?.value} ${patient[measure]?.unit}`).join()}`;
    if (this.#planned.has(key)) return this.#planned.get(key);
    if (this.#planned.size > MOST_REMEMBERED) this.#planned.clear();
    const planned = this.#work(dose, patient);
    this.#planned.set(key, planned);
    return planned;
  }

  #work(dose: Dose, patient: Patient): Planned | undefined {
    const amount = doseFor(this.#file.protocol, measured(patient), dose.name)?.amount;
    if (!amount) return undefined;
    const mL = amount.volume && rational(amount.volume.value);
    const mg = amount.mass && rational(amount.mass.value);
    const leastVolume = mL && floorTo(mL, this.#graduation);
    const leastMass = mg && mL && leastVolume && mL.compare(0) > 0 ? mg.mul(leastVolume).div(mL) : mg;
    return {
      most: { ...(mg && { mg }), ...(mL && { mL }) },
      least: { ...(leastMass && { mg: leastMass }), ...(leastVolume && { mL: leastVolume }) },
    };
  }

  /** A cuff is set on a gauge with marks of 5 mmHg: between the two marks beside the formula nothing is told apart. */
  #pressure(
    rows: CaseRows,
    { text, line }: Written,
    patient: Patient,
    deviations: Deviation[],
    notJudged: NotJudged[],
  ): void {
    const given = readMeasure(text, "mmHg");
    const value = given?.unit === "mm[Hg]" ? baseValue(given) : undefined;
    if (!value) {
      rows.notes.add("unknown-value", line);
      rows.unreadable.push(line);
      return;
    }
    const planned = pressureFor(this.#file.protocol, measured(patient));
    if (!planned) {
      const words = "The cuff pressure of the protocol for this patient is not known.";
      notJudged.push({ because: "measure-not-given", words, line });
      return;
    }
    const right = rational(planned.value);
    const difference = value.sub(right);
    if (difference.abs().compare(GAUGE) < 0) return;
    const place = placeOf(this.#file, "/protocol/cuffs/pressure");
    const by = number(difference.abs());
    const is = difference.compare(0) > 0 ? "over" : "under";
    deviations.push({
      kind: "pressure",
      what: "pressure",
      line,
      by: { value: by, unit: "mm[Hg]" },
      rules: [],
      ledTo: [],
      ...(place && { place }),
      words: `The cuff was set to ${number(value)} mmHg, ${by} mmHg ${is} the protocol's ${number(right)} mmHg.`,
    });
  }
}

/** Common practice, no source. */
const GAUGE = rational(5);

function measuresOf(dose: Dose): (keyof Patient)[] {
  const asked = new Set(valuesIn(dose, "variable") as (keyof Patient)[]);
  const isPerWeight = valuesIn(dose, "unit").some(
    (unit) => unitWithCode(String(unit))?.dimension.weight !== undefined,
  );
  if (isPerWeight) asked.add("weight");
  return [...asked].sort();
}

function number(value: Rational): string {
  return decimalText(value).text;
}
