import {
  amountOnPaper,
  amountText,
  drawUp,
  type Rational,
  rational,
  roundedNumber,
  shareOf,
  USUAL_MARK,
  unitWithCode,
  volumeOnPaper,
} from "../quantity/index.ts";
import type { Dose, Patient, RuleFile } from "../rule-file/generated/rule-file.ts";
import { baseValue } from "../rule-file/measures.ts";
import { doseFor, massUnitOf, pressureFor } from "../runtime/amounts.ts";
import { readMeasures, valuesIn } from "../runtime/patient.ts";
import type { CaseRows, Written } from "./case-rows.ts";
import { type Deviation, placeOf } from "./deviation.ts";
import { dosesToldTwice, type ToldDose } from "./doses-told-twice.ts";
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

  judge(rows: CaseRows, patient: Patient, { injected, begun }: BegunDoses): Judged {
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
    this.#judgeToldTwice(rows, patient, begun, found);
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

  /** Of a dose that differs from the protocol, that is told; of another, that nobody knows which of two amounts was given. */
  #judgeToldTwice(rows: CaseRows, patient: Patient, begun: BegunDoses["begun"], found: Judged): void {
    if (rows.doses.length < 2) return;
    const { protocol } = this.#file;
    const strengthOf = (name: string) => {
      const dose = protocol.doses.find((one) => one.name === name);
      const { mg, mL } = dose ? this.#planDose(dose, patient) : {};
      return mg && mL && mL.most.compare(0) > 0 ? mg.most.div(mL.most) : undefined;
    };
    const told = rows.doses.flatMap((written) => readDose(written) ?? []);
    const isKnown = ({ name }: ToldDose) => protocol.doses.some((one) => one.name === name);
    const markOf = (name: string) =>
      this.#markOf(protocol.doses.find((one) => one.name === name)) ?? USUAL_MARK;
    const how = { begun, strengthOf, markOf };
    for (const { first, other } of dosesToldTwice(told.filter(isKnown), how)) {
      const { name: what, line } = other;
      if (found.deviations.some((one) => one.what === what)) continue;
      const dose = protocol.doses.find((one) => one.name === what);
      const amount = ({ value, unit }: ToldDose) => amountText(value, this.#unitFor(unit, dose));
      const words = `\`${what}\` is recorded as ${amount(first)} and as ${amount(other)}: which of the two was given is not known.`;
      const index = protocol.doses.findIndex((one) => one.name === what);
      const place = placeOf(this.#file, `/protocol/doses/${index}/amount`);
      const rest = { rules: [], ledTo: [], ...(place && { place }), words };
      found.deviations.push({ kind: "dose", what, line, ...rest });
    }
  }

  /** What tells a patient from others for a dose. */
  #personFor(dose: string, patient: Patient): string {
    return personKey(patient, this.#askedBy.get(dose) ?? []);
  }

  #dose(text: string, patient: Patient): JudgedAmount {
    const told = readDose({ text, line: 0 });
    const index = this.#file.protocol.doses.findIndex((one) => one.name === told?.name);
    const dose = this.#file.protocol.doses[index];
    if (!dose || !told) return UNREADABLE;
    const { name, unit, value } = told;
    const key = `${name}|${this.#personFor(name, patient)}`;
    const planned = this.#plannedFor.of(key, () => this.#planDose(dose, patient))[unit];
    if (!planned) {
      const words = `Whether the dose of \`${name}\` is that of the protocol cannot be told from what is recorded.`;
      return { kind: "unknown", words };
    }
    const { least, most } = planned;
    if (value.compare(least) >= 0 && value.compare(most) <= 0) return AS_PLANNED;
    const isMore = value.compare(most) > 0;
    const off = isMore ? value.sub(most) : least.sub(value);
    const by = roundedNumber(off);
    const weight = patient.weight ? ` for ${patient.weight.value} ${patient.weight.unit}` : "";
    const say = (amount: Rational) => amountText(amount, this.#unitFor(unit, dose));
    const is = least.equals(most) ? say(most) : `${say(least).split(" ")[0]} to ${say(most)}`;
    const words = `\`${name}\`: ${say(value)} given, ${say(off)} ${isMore ? "more" : "less"} than the protocol's ${is}${weight}.`;
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
    const isToRescue = dose.emergency !== undefined || this.#agentOf(dose)?.kind === "rescue";
    const drawing = drawUp(mL, this.#markOf(dose), this.#mostLost);
    return volumeOnPaper(drawing, mL, isToRescue) ?? mL;
  }

  /** How far apart the marks of a dose's syringe are, in mL; undefined where none is named. */
  #markOf(dose: Dose | undefined): Rational | undefined {
    const mark = (dose?.syringe ?? this.#agentOf(dose)?.syringe)?.mark;
    return mark && baseValue(mark);
  }

  /** The unit that people are told in: of a mass the one that the protocol writes. */
  #unitFor(unit: "mg" | "mL", dose: Dose | undefined): string {
    return unit === "mg" && dose ? massUnitOf(dose) : unit;
  }

  #agentOf(dose: Dose | undefined) {
    return this.#file.protocol.agents.find(({ name }) => name === dose?.agent);
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
    const by = roundedNumber(difference.abs());
    const is = difference.compare(0) > 0 ? "over" : "under";
    const words = `The cuff was set to ${roundedNumber(value)} mmHg, ${by} mmHg ${is} the protocol's ${roundedNumber(right)} mmHg.`;
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

/** The doses of a case that were begun. */
export interface BegunDoses {
  /** Those of the plan, by their names. */
  readonly injected: ReadonlySet<string>;
  /** How often each was begun. */
  readonly begun: ReadonlyMap<string, number>;
}

/** A dose as a record writes it: "local: 40 mL". Undefined where that is no amount. */
function readDose({ text, line }: Written): ToldDose | undefined {
  const [, name = "", amount = ""] = /^\s*([^\s:]+)\s*:?\s+(.+)$/.exec(text) ?? [];
  const given = readMeasure(amount, "");
  const value = given && DOSE_UNITS.has(given.unit) ? baseValue(given) : undefined;
  if (!given || !value) return undefined;
  return { name, value, unit: given.unit === "mL" || given.unit === "L" ? "mL" : "mg", text, line };
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
