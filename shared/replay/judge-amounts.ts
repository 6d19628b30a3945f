import {
  amountOnPaper,
  decimalText,
  drawUp,
  type Rational,
  rational,
  shareOf,
  unitWithCode,
  volumeOnPaper,
} from "../quantity/index.ts";
import type { Dose, Patient, RuleFile } from "../rule-file/generated/rule-file.ts";
import { baseValue } from "../rule-file/measures.ts";
import { doseFor, pressureFor } from "../runtime/amounts.ts";
import { readMeasures, valuesIn } from "../runtime/patient.ts";
import type { CaseRows, Written } from "./case-rows.ts";
import { type Deviation, placeOf } from "./deviation.ts";
import { type Judged, readMeasure } from "./judge-patient.ts";
import { Remembered } from "./remembered.ts";

/** What comes of one recorded amount, but for its line. */
type JudgedAmount =
  | { readonly kind: "as-planned" }
  | { readonly kind: "unreadable" }
  | { readonly kind: "unknown"; readonly words: string }
  | { readonly kind: "differs"; readonly deviation: Omit<Deviation, "line"> };

/** From the least to the most that a dose may be, in either unit that can be said. */
type Planned = Readonly<Partial<Record<"mg" | "mL", { readonly least: Rational; readonly most: Rational }>>>;

const AS_PLANNED: JudgedAmount = { kind: "as-planned" };
const UNREADABLE: JudgedAmount = { kind: "unreadable" };

/** A cuff is set on a gauge with marks of 5 mmHg: between two marks nothing is told apart. Common practice, no source. */
const GAUGE = rational(5);

/** Judges recorded doses and cuff pressures against the formulas of a protocol. */
export class AmountJudge {
  readonly #file: RuleFile;
  /** The share of a dose that drawing it up may take away. */
  readonly #mostLost: Rational;
  /** What of a patient is asked for a dose, by the name of the dose; what the pressure depends on. */
  readonly #askedBy: ReadonlyMap<string, readonly (keyof Patient)[]>;
  readonly #askedByPressure: readonly (keyof Patient)[];
  readonly #remembered = new Remembered<JudgedAmount>();
  /** The dose that a text names. */
  readonly #named = new Remembered<string>();
  /** What a dose may be for a patient, by its name and what it asks of one. */
  readonly #plannedFor = new Remembered<Planned>();

  constructor(file: RuleFile) {
    this.#file = file;
    this.#mostLost = mostLostIn(file);
    this.#askedBy = new Map(
      // What is told of a dose that differs names the weight, too.
      file.protocol.doses.map((dose) => [dose.name, [...new Set([...measuresOf(dose), "weight" as const])]]),
    );
    this.#askedByPressure = measuresOf(file.protocol.cuffs);
  }

  /** `injected` are the doses of the plan that were begun, by their names. */
  judge(rows: CaseRows, patient: Patient, injected: ReadonlySet<string>): Judged {
    const found: Judged = { deviations: [], notJudged: [] };
    const told = new Set<string>();
    for (const written of rows.doses) {
      const { text } = written;
      const name = this.#named.of(text, () => /^\s*([^\s:]+)/.exec(text)?.[1] ?? "");
      const key = `${text}|${this.#personFor(name, patient)}`;
      const judged = this.#remembered.of(key, () => this.#dose(text, patient));
      if (judged.kind !== "unreadable") told.add(name);
      collect(rows, written, judged, found);
    }
    for (const name of injected) {
      if (told.has(name)) continue;
      const words = `How much of \`${name}\` was given is not recorded.`;
      found.notJudged.push({ because: "dose-not-recorded", words });
    }
    for (const written of rows.pressures) {
      const { text } = written;
      const key = `pressure ${text}|${personKey(patient, this.#askedByPressure)}`;
      const judged = this.#remembered.of(key, () => this.#pressure(text, patient));
      collect(rows, written, judged, found);
    }
    return found;
  }

  /** What tells a patient from others for a dose. */
  #personFor(dose: string, patient: Patient): string {
    return personKey(patient, this.#askedBy.get(dose) ?? []);
  }

  #dose(text: string, patient: Patient): JudgedAmount {
    const [, name = "", amount = ""] = /^\s*([^\s:]+)\s*:?\s+(.+)$/.exec(text) ?? [];
    const index = this.#file.protocol.doses.findIndex((one) => one.name === name);
    const dose = this.#file.protocol.doses[index];
    const given = readMeasure(amount, "");
    if (!dose || !given || !DOSE_UNITS.has(given.unit)) return UNREADABLE;
    const unit = given.unit === "mL" || given.unit === "L" ? "mL" : "mg";
    const value = baseValue(given);
    const key = `${name}|${this.#personFor(name, patient)}`;
    const planned = this.#plannedFor.of(key, () => this.#planDose(dose, patient))[unit];
    if (!value || !planned) {
      const words = `Whether the dose of \`${name}\` is that of the protocol cannot be told from what is recorded.`;
      return { kind: "unknown", words };
    }
    const { least, most } = planned;
    if (value.compare(least) >= 0 && value.compare(most) <= 0) return AS_PLANNED;
    const isMore = value.compare(most) > 0;
    const by = number(isMore ? value.sub(most) : least.sub(value));
    const weight = patient.weight ? ` for ${patient.weight.value} ${patient.weight.unit}` : "";
    const is = least.equals(most) ? number(most) : `${number(least)} to ${number(most)}`;
    const words = `\`${name}\`: ${number(value)} ${unit} given, ${by} ${unit} ${isMore ? "more" : "less"} than the protocol's ${is} ${unit}${weight}.`;
    const place = placeOf(this.#file, `/protocol/doses/${index}/amount`);
    const deviation = { what: name, by: { value: by, unit }, ...(place && { place }), words } as const;
    return { kind: "differs", deviation: { kind: "dose", rules: [], ledTo: [], ...deviation } };
  }

  /** What a dose may be: the formula, or what stands on the sheet, which is drawn up to a mark of the syringe. */
  #planDose(dose: Dose, patient: Patient): Planned {
    const { protocol } = this.#file;
    const amount = doseFor(protocol, readMeasures(patient), dose.name)?.amount;
    const mL = amount?.volume && rational(amount.volume.value);
    const mg = amount?.mass && rational(amount.mass.value);
    const onSheet = mL && this.#volumeOnSheet(dose, mL);
    const inSyringe = mg && mL && onSheet && mL.compare(0) > 0 ? mg.mul(onSheet).div(mL) : mg;
    return {
      ...(mg && inSyringe && { mg: { least: amountOnPaper(inSyringe), most: mg } }),
      ...(mL && onSheet && { mL: { least: amountOnPaper(onSheet), most: mL } }),
    };
  }

  /** By the formula where nothing can be drawn up: such a dose is on no sheet. */
  #volumeOnSheet(dose: Dose, mL: Rational): Rational {
    const agent = this.#file.protocol.agents.find(({ name }) => name === dose.agent);
    const mark = (dose.syringe ?? agent?.syringe)?.mark;
    const isToRescue = dose.emergency !== undefined || agent?.kind === "rescue";
    const drawing = drawUp(mL, mark && baseValue(mark), this.#mostLost);
    return volumeOnPaper(drawing, mL, isToRescue) ?? mL;
  }

  #pressure(text: string, patient: Patient): JudgedAmount {
    const given = readMeasure(text, "mmHg");
    const value = given?.unit === "mm[Hg]" ? baseValue(given) : undefined;
    if (!value) return UNREADABLE;
    const planned = pressureFor(this.#file.protocol, readMeasures(patient));
    if (!planned) {
      return { kind: "unknown", words: "The cuff pressure of the protocol for this patient is not known." };
    }
    const right = rational(planned.value);
    const difference = value.sub(right);
    if (difference.abs().compare(GAUGE) < 0) return AS_PLANNED;
    const by = number(difference.abs());
    const is = difference.compare(0) > 0 ? "over" : "under";
    const words = `The cuff was set to ${number(value)} mmHg, ${by} mmHg ${is} the protocol's ${number(right)} mmHg.`;
    const place = placeOf(this.#file, "/protocol/cuffs/pressure");
    const deviation = {
      what: "pressure",
      by: { value: by, unit: "mm[Hg]" },
      ...(place && { place }),
      words,
    } as const;
    return { kind: "differs", deviation: { kind: "pressure", rules: [], ledTo: [], ...deviation } };
  }
}

/** As the file says by what it was judged; nothing where it does not say. */
function mostLostIn({ proof }: RuleFile): Rational {
  const set = proof.parameters.find(({ name }) => name === "drawn-up-loss");
  return shareOf(rational(set?.value ?? "0"));
}

const DOSE_UNITS = new Set(["mL", "L", "mg", "g", "ug"]);

function collect(rows: CaseRows, { line }: Written, judged: JudgedAmount, found: Judged): void {
  switch (judged.kind) {
    case "as-planned":
      return;
    case "unreadable":
      rows.notes.add("unknown-value", line);
      rows.unreadable.push(line);
      return;
    case "unknown":
      found.notJudged.push({ because: "measure-not-given", words: judged.words, line });
      return;
    case "differs":
      found.deviations.push({ ...judged.deviation, line });
  }
}

function personKey(patient: Patient, measures: readonly (keyof Patient)[]): string {
  let key = "";
  for (const measure of measures) key += `${patient[measure]?.value} ${patient[measure]?.unit},`;
  return key;
}

/** What of a patient the formulas in a part of a protocol ask for. */
function measuresOf(part: unknown): (keyof Patient)[] {
  const asked = new Set(valuesIn(part, "variable") as (keyof Patient)[]);
  const isPerWeight = valuesIn(part, "unit").some(
    (unit) => unitWithCode(String(unit))?.dimension.weight !== undefined,
  );
  if (isPerWeight) asked.add("weight");
  return [...asked].sort();
}

function number(value: Rational): string {
  return decimalText(value).text;
}
