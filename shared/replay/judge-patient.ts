import { UNITS, unitOf } from "../quantity/index.ts";
import type { Patient, RuleFile } from "../rule-file/generated/rule-file.ts";
import type { Measure } from "../rule-file/measures.ts";
import { againstPatient, contraindicationsOf, type Unsuitable } from "../runtime/patient.ts";
import type { CaseRows, Written } from "./case-rows.ts";
import type { Deviation, NotJudged } from "./deviation.ts";
import { placeOf } from "./places.ts";

type MeasureName = keyof Patient;

/** Units that are meant where a record gives a bare number. */
const USUAL: Readonly<Record<MeasureName, string>> = {
  weight: "kg",
  age: "years",
  systolic: "mmHg",
  circumference: "cm",
};

/** So many different texts of measures are remembered. */
const MOST_REMEMBERED = 20_000;

export interface JudgedPatient {
  readonly patient: Patient;
  readonly deviations: readonly Deviation[];
  readonly notJudged: readonly NotJudged[];
}

/** A measure as a record writes it: "70 kg", or "70" in the usual unit. Undefined where that is no number with a unit. */
export function readMeasure(text: string, usual: string): Measure | undefined {
  const [, value, symbol] = /^\s*(\d{1,9}(?:\.\d{1,9})?)\s*(\S.*?)?\s*$/.exec(text) ?? [];
  if (value === undefined) return undefined;
  const written = symbol ?? usual;
  const unit = unitOf(written) ?? UNITS.find(({ ucum }) => ucum === written);
  return unit && { value, unit: unit.ucum };
}

/** Judges whether patients are those that a protocol is for. */
export class PatientJudge {
  readonly #file: RuleFile;
  readonly #needed: readonly MeasureName[];
  readonly #contraindications: readonly { readonly text: string; readonly names: readonly string[] }[];
  readonly #remembered = new Map<string, Unsuitable | undefined>();

  constructor(file: RuleFile) {
    this.#file = file;
    this.#needed = againstPatient(file, {}, {}).flatMap((one) => ("measure" in one ? [one.measure] : []));
    this.#contraindications = contraindicationsOf(file).map((text) => {
      const same = file.protocol.patients.conditions.filter((one) => (one.text ?? one.condition) === text);
      return { text, names: [text, ...same.flatMap(({ condition }) => condition ?? [])].map(plain) };
    });
  }

  judge(rows: CaseRows): JudgedPatient {
    const deviations: Deviation[] = [];
    const notJudged: NotJudged[] = [];
    const patient: Record<string, Measure> = {};
    for (const measure of MEASURES) {
      const written = rows.measures[measure] ?? [];
      const [first] = written;
      if (!first) {
        if (this.#needed.includes(measure)) {
          notJudged.push({ because: "measure-not-given", words: `The ${WORDS[measure]} is not recorded.` });
        }
        continue;
      }
      const other = written.find(({ text }) => text !== first.text);
      const read = readMeasure(first.text, USUAL[measure]);
      if (other || !read) {
        const words = other
          ? `The ${WORDS[measure]} is recorded twice, not the same.`
          : `The ${WORDS[measure]} is not recorded as a number with its unit.`;
        notJudged.push({ because: "measure-not-clear", words, line: (other ?? first).line });
        continue;
      }
      patient[measure] = read;
      const against = this.#against(measure, read);
      if (against) deviations.push(this.#outside(against, measure, first));
    }
    this.#judgeAnswers(rows, deviations, notJudged);
    return { patient: patient as unknown as Patient, deviations, notJudged };
  }

  #against(measure: MeasureName, given: Measure): Unsuitable | undefined {
    const key = `${measure} ${given.value} ${given.unit}`;
    if (this.#remembered.has(key)) return this.#remembered.get(key);
    if (this.#remembered.size > MOST_REMEMBERED) this.#remembered.clear();
    const patient = { [measure]: given } as unknown as Patient;
    const against = againstPatient(this.#file, patient, {}).find(
      (one) => "measure" in one && one.measure === measure,
    );
    this.#remembered.set(key, against);
    return against;
  }

  #outside(against: Unsuitable, measure: MeasureName, { line }: Written): Deviation {
    const place = placeOf(this.#file, `/protocol/patients/bounds/${measure}`);
    return {
      kind: "patient",
      what: measure,
      line,
      rules: [],
      ledTo: [],
      ...(place && { place }),
      words: against.words,
    };
  }

  #judgeAnswers({ answers }: CaseRows, deviations: Deviation[], notJudged: NotJudged[]): void {
    const isNone = answers.some(({ text }) => /^\s*(none|no)\s*$/i.test(text));
    const unanswered: string[] = [];
    for (const { text, names } of this.#contraindications) {
      const given = answers.flatMap((one) => {
        const [, name = "", answer = ""] = /^(.*?)\s*[:=]\s*(yes|no)\s*$/i.exec(one.text.trim()) ?? [];
        return names.includes(plain(name)) ? [{ isYes: /yes/i.test(answer), line: one.line }] : [];
      });
      const yes = given.find(({ isYes }) => isYes);
      if (yes) deviations.push(this.#contraindicated(text, yes.line));
      else if (given.length === 0 && !isNone) unanswered.push(text);
    }
    if (unanswered.length === 0) return;
    const which = unanswered.length === this.#contraindications.length ? "any" : unanswered.join("; ");
    const words = `It is not recorded whether the patient has a contraindication (${which}).`;
    notJudged.push({ because: "not-answered", words });
  }

  #contraindicated(text: string, line: number): Deviation {
    const { conditions } = this.#file.protocol.patients;
    const index = conditions.findIndex((one) => (one.text ?? one.condition) === text);
    const place = placeOf(this.#file, `/protocol/patients/conditions/${index}`);
    const words = `The patient has what the protocol names as a contraindication: ${text}.`;
    const what = conditions[index]?.condition ?? text;
    return { kind: "contraindicated", what, line, rules: [], ledTo: [], ...(place && { place }), words };
  }
}

const MEASURES = ["weight", "age", "systolic", "circumference"] as const;

const WORDS: Readonly<Record<MeasureName, string>> = {
  weight: "body weight",
  age: "age",
  systolic: "systolic blood pressure",
  circumference: "limb circumference",
};

function plain(text: string): string {
  return text.trim().toLowerCase().replace(/\s+/g, " ");
}
