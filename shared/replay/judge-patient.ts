import { UNITS, unitOf } from "../quantity/index.ts";
import type { Patient, RuleFile } from "../rule-file/generated/rule-file.ts";
import type { Measure } from "../rule-file/measures.ts";
import {
  againstMeasure,
  againstPatient,
  contraindicated,
  contraindicationsOf,
  MEASURE_WORDS,
  MEASURES,
  type Unsuitable,
} from "../runtime/patient.ts";
import type { CaseRows, Written } from "./case-rows.ts";
import { type CaseNotJudged, type Deviation, placeOf } from "./deviation.ts";
import { plain } from "./known-events.ts";
import { Remembered } from "./remembered.ts";

type MeasureName = keyof Patient;

/** Units that are meant where a record gives a bare number. */
const USUAL: Readonly<Record<MeasureName, string>> = {
  weight: "kg",
  age: "years",
  systolic: "mmHg",
  circumference: "cm",
};

interface ReadPatientMeasure {
  readonly measure: Measure;
  readonly against?: Unsuitable;
}

/** What was found so far. */
export interface Judged {
  readonly deviations: Deviation[];
  readonly notJudged: CaseNotJudged[];
}

/** Judges whether patients are those that a protocol is for. */
export class PatientJudge {
  readonly #file: RuleFile;
  readonly #needed: readonly MeasureName[];
  readonly #contraindications: readonly { readonly text: string; readonly names: readonly string[] }[];
  readonly #remembered = {
    weight: new Remembered<ReadPatientMeasure | undefined>(),
    age: new Remembered<ReadPatientMeasure | undefined>(),
    systolic: new Remembered<ReadPatientMeasure | undefined>(),
    circumference: new Remembered<ReadPatientMeasure | undefined>(),
  };

  constructor(file: RuleFile) {
    this.#file = file;
    this.#needed = againstPatient(file, {}, {}).flatMap((one) => ("measure" in one ? [one.measure] : []));
    this.#contraindications = contraindicationsOf(file).map((text) => {
      const same = file.protocol.patients.conditions.filter((one) => (one.text ?? one.condition) === text);
      return { text, names: [text, ...same.flatMap(({ condition }) => condition ?? [])].map(plain) };
    });
  }

  judge(rows: CaseRows): Judged & { readonly patient: Patient } {
    const found: Judged = { deviations: [], notJudged: [] };
    const patient: Partial<Record<MeasureName, Measure>> = {};
    for (const measure of MEASURES) {
      const read = this.#measure(rows, measure, found);
      if (read) patient[measure] = read;
    }
    this.#judgeAnswers(rows, found);
    return { patient: patient as Patient, ...found };
  }

  #measure(rows: CaseRows, measure: MeasureName, { deviations, notJudged }: Judged): Measure | undefined {
    const written = rows.measures[measure];
    const first = written[0];
    const other = written[1];
    if (!first) {
      if (this.#needed.includes(measure)) {
        notJudged.push({
          because: "measure-not-given",
          words: `The ${MEASURE_WORDS[measure]} is not recorded.`,
        });
      }
      return undefined;
    }
    const read = this.#remembered[measure].of(first.text, () => this.#read(measure, first.text));
    if (read?.against?.kind === "not-precise") {
      notJudged.push({ because: "measure-not-clear", words: read.against.words, line: first.line });
      return undefined;
    }
    if (other || !read) {
      const words = other
        ? `The ${MEASURE_WORDS[measure]} is recorded twice, not the same.`
        : `The ${MEASURE_WORDS[measure]} is not recorded as a number with its unit.`;
      notJudged.push({ because: "measure-not-clear", words, line: (other ?? first).line });
      return undefined;
    }
    if (read.against) deviations.push(this.#outside(read.against, measure, first));
    return read.measure;
  }

  #read(measure: MeasureName, text: string): ReadPatientMeasure | undefined {
    const read = readMeasure(text, USUAL[measure]);
    const against = read && againstMeasure(this.#file, measure, read)[0];
    if (against?.kind === "not-readable") return undefined;
    return read && { measure: read, ...(against && { against }) };
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

  #judgeAnswers({ answers }: CaseRows, { deviations, notJudged }: Judged): void {
    if (this.#contraindications.length === 0) return;
    const isNone = answers.some(({ text }) => /^\s*(none|no)\s*$/i.test(text));
    if (isNone && answers.length === 1) return;
    const unanswered: string[] = [];
    for (const { text, names } of this.#contraindications) {
      const given = answers.flatMap((one) => {
        const [, name = "", answer = ""] = /^(.*?)\s*[:=]\s*(yes|no)\s*$/i.exec(one.text.trim()) ?? [];
        return names.includes(plain(name)) ? [{ isYes: /yes/i.test(answer), line: one.line }] : [];
      });
      const yes = given.find(({ isYes }) => isYes);
      if (yes) deviations.push(this.#tellContraindication(text, yes.line));
      else if (given.length === 0 && !isNone) unanswered.push(text);
    }
    if (unanswered.length === 0) return;
    const which = unanswered.length === this.#contraindications.length ? "any" : unanswered.join("; ");
    const words = `It is not recorded whether the patient has a contraindication (${which}).`;
    notJudged.push({ because: "not-answered", words });
  }

  #tellContraindication(text: string, line: number): Deviation {
    const { conditions } = this.#file.protocol.patients;
    const index = conditions.findIndex((one) => (one.text ?? one.condition) === text);
    const place = placeOf(this.#file, `/protocol/patients/conditions/${index}`);
    const { words } = contraindicated(text);
    const what = conditions[index]?.condition ?? text;
    return { kind: "contraindicated", what, line, rules: [], ledTo: [], ...(place && { place }), words };
  }
}

/** A measure as a record writes it: "70 kg", or "70" in the usual unit. Undefined where that is no number with a unit. */
export function readMeasure(text: string, usual: string): Measure | undefined {
  const [, value, symbol] = /^\s*(\d{1,9}(?:\.\d{1,9})?)\s*(\S.*?)?\s*$/.exec(text) ?? [];
  if (value === undefined) return undefined;
  const written = symbol ?? usual;
  const unit = unitOf(written) ?? UNITS.find(({ ucum }) => ucum === written);
  return unit && { value, unit: unit.ucum };
}
