import { type PatientFigures, patientFigures, Site } from "@limbwright/language";
import { contains, exactText, type Rational, rational, unitWithCode } from "@limbwright/shared/quantity";
import type { Patient as FilePatient, RuleFile } from "@limbwright/shared/rule-file";
import type { Dose, Protocol } from "../../language/model/index.ts";
import type { Bundle, Dosage, Quantity } from "../../language/outputs/fhir/resources.ts";
import type { SheetTable } from "../../language/outputs/sheet/sheet.ts";
import { type SheetTables, tablesOf } from "../../language/outputs/sheet/tables.ts";
import type { RowPatient } from "../../language/outputs/table/patients.ts";
import { type DoseTable, rowsOf, tableOf } from "../../language/outputs/table/table.ts";
import {
  type Expression,
  findExtremes,
  type Patient,
  type Variable,
} from "../../language/population/index.ts";
import { CaseRows } from "../../shared/replay/case-rows.ts";
import { AmountJudge } from "../../shared/replay/judge-amounts.ts";
import { bundlesFrom } from "../language/fhir/bundles.ts";
import { ON } from "../language/rule-file/compiled.ts";

/** All that leaves the checker of one protocol. */
export interface Outputs {
  readonly protocol: Protocol;
  readonly file: RuleFile;
  readonly bundle: Bundle;
  readonly table: DoseTable;
  /** For whom each row of the table is. */
  readonly patients: readonly RowPatient[];
  readonly sheet: SheetTables;
  readonly judge: AmountJudge;
}

/** Undefined where a protocol cannot be written even as a draft. */
export function outputsOf(texts: ReadonlyMap<string, string>): Outputs | undefined {
  const [protocol] = new Site((file) => texts.get(file)).file("protocol.limb")?.protocols ?? [];
  const [written] = bundlesFrom(texts, "protocol.limb", { on: ON, draft: true });
  if (!protocol || !written) return undefined;
  const [table, sheet, rows] = [tableOf(protocol, { draft: true }), tablesOf(protocol), rowsOf(protocol)];
  if (!table || !sheet || !rows) return undefined;
  const file = written.ruleFile();
  const patients = rows.map(({ row }) => row);
  return { protocol, file, bundle: written.bundle, table, patients, sheet, judge: new AmountJudge(file) };
}

export type WholePatient = Readonly<Record<Variable, Rational>>;

/** What the check says of one patient: the least and the most of a box in which there is nobody else. */
export function byCheck(expression: Expression | undefined, patient: WholePatient): Rational | undefined {
  if (!expression) return undefined;
  const only = (value: Rational) => ({ lower: { value, closed: true }, upper: { value, closed: true } });
  const box = Object.fromEntries(Object.entries(patient).map(([name, value]) => [name, only(value)]));
  const found = findExtremes(expression, box);
  if (found.kind === "not-decided") return undefined;
  const [least, greatest] = [found.least, found.greatest].map((one) =>
    "value" in one ? one.value : undefined,
  );
  if (!least || !greatest || !least.equals(greatest)) throw new Error("one patient has one dose");
  return least;
}

const MASS_UNITS = { mg: 1n, mcg: 1000n, g: 0n } as const;

/** A number that is printed with one of the units of mass; nothing where none of them is. */
function massOf(printed: (unit: keyof typeof MASS_UNITS) => string | undefined): Printed | undefined {
  for (const unit of ["mg", "mcg", "g"] as const) {
    const text = printed(unit);
    if (text) return { text: `${text} ${unit}`, value: inMilligrams(rational(text), unit), unit };
  }
  return undefined;
}

function inMilligrams(value: Rational, unit: keyof typeof MASS_UNITS): Rational {
  return unit === "mg" ? value : unit === "mcg" ? value.div(1000) : value.mul(1000);
}

/** What stands somewhere: its words, and in mg or mL. */
export interface Printed {
  readonly text: string;
  readonly value: Rational;
  readonly unit: "mg" | "mcg" | "g" | "mL";
}

function volumeOf(text: string | undefined): Printed | undefined {
  return text ? { text: `${text} mL`, value: rational(text), unit: "mL" } : undefined;
}

function amountOf(printed: (unit: string) => string | undefined): Printed | undefined {
  return volumeOf(printed("mL")) ?? massOf(printed);
}

function rateOf(printed: (unit: string) => string | undefined): Printed | undefined {
  return amountOf((unit) => printed(`${unit}/h`));
}

/** What is printed of a dose for a patient. */
export interface OnPaper {
  readonly drawn?: Printed | undefined;
  readonly drawnMass?: Printed | undefined;
}

/** What is printed of an infusion, and beside a dose. */
export interface BesideDose {
  /** In mg/h or mL/h. */
  readonly rate?: Printed | undefined;
  readonly total?: Printed | undefined;
  /** "ketorolac 20 mg in 0.66 mL". */
  readonly mixedIn?: string | undefined;
  /** "2 more, every 5 min if still unstable". */
  readonly repeated?: string | undefined;
}

/** What a person who types a patient is shown; nothing at all where there is no dose, or no syringe can measure it. */
export interface TypedFigures extends OnPaper, BesideDose {
  readonly isSilent: boolean;
}

export interface TableFigures extends OnPaper, BesideDose {
  readonly volume?: Printed | undefined;
  readonly mass?: Printed | undefined;
  /** For whom it is, as it stands there. */
  readonly patient: Readonly<Record<string, string>>;
}

/** The row of the dose table for a patient whose weight has a row. */
export function inTable({ table, patients }: Outputs, dose: Dose, patient: WholePatient): TableFigures[] {
  const column = (name: string) => table.columns.indexOf(name);
  return table.rows.flatMap((row, at) => {
    const of = patients[at];
    const cell = (name: string) => row[column(name)];
    if (!of || cell("Dose") !== dose.name || of.between || !isFor(of, patient)) return [];
    return [
      {
        patient: {
          weight: cell("Weight (kg)") ?? "",
          age: cell("Age") ?? "",
          limb: cell("Circumference") ?? "",
          systolic: cell("Systolic (mmHg)") ?? "",
        },
        volume: volumeOf(cell("Volume by formula (mL)")),
        mass: massOf((unit) => cell(`Dose by formula (${unit})`)),
        drawn: volumeOf(cell("Volume to draw up, down to a mark of the syringe (mL)")),
        drawnMass: massOf((unit) => cell(`Dose drawn up (${unit})`)),
        rate: rateOf((unit) => cell(`Rate (${unit})`)),
        total: amountOf((unit) => cell(`Total at most (${unit})`)),
        mixedIn: cell("Mixed in") || undefined,
        repeated: cell("Repeated") || undefined,
      },
    ];
  });
}

function isFor({ patient: of, ranges }: RowPatient, patient: WholePatient): boolean {
  const isSame = (Object.keys(of) as Variable[]).every(
    (name) => ranges[name] !== undefined || of[name]?.equals(patient[name]),
  );
  return (
    isSame && (Object.keys(ranges) as Variable[]).every((name) => contains(ranges[name] ?? {}, patient[name]))
  );
}

/** The rows of a sheet for the patient of a row of the table. */
export function onSheet(
  { sheet }: Outputs,
  { name, emergency }: Dose,
  row: TableFigures,
): (OnPaper & BesideDose)[] {
  const isOf = ({ caption, headings }: SheetTable) =>
    caption.startsWith(`${name}:`) || headings.some((one) => one.startsWith(`${name} `));
  const tables = emergency === undefined ? sheet.doses : [...sheet.emergencies.values()].flat();
  return tables.filter(isOf).flatMap(({ headings, rows, caption, facts }) => {
    const isAlone = caption.startsWith(`${name}:`);
    const own = isAlone ? facts : facts.filter((one) => one.startsWith(`${name}: `));
    return rows.flatMap(({ cells }) => {
      const cell = (heading: string) => cells[headings.indexOf(heading)];
      const figure = (unit: string) => cell(isAlone ? unit : `${name} ${unit}`);
      const isSame = (["age", "limb", "systolic"] as const).every(
        (heading) => cell(heading) === undefined || cell(heading) === row.patient[heading],
      );
      if (!isSame || !isInBand(cell("kg") ?? "", row.patient.weight ?? "")) return [];
      // What is the same in every row is said above them.
      const mixedIn = figure("mixed in") ?? own.find((one) => one.startsWith("mixed in "))?.slice(9);
      const again = own.flatMap((one) => one.split("; ")).find((one) => /^\d+ more, every /.test(one));
      return [
        {
          drawn: volumeOf(figure("mL")),
          drawnMass: massOf(figure),
          rate: rateOf(figure),
          total: amountOf((unit) => figure(`${unit} in all`)),
          mixedIn: mixedIn || undefined,
          repeated: again,
        },
      ];
    });
  });
}

function isInBand(cell: string, weight: string): boolean {
  const [, from, to = from] = /^(\d+(?:\.\d+)?)(?: to (\d+(?:\.\d+)?))?$/.exec(cell) ?? [];
  return (
    from !== undefined && to !== undefined && Number(from) <= Number(weight) && Number(weight) <= Number(to)
  );
}

/** The figures that are shown to whoever types a patient. */
export function typed({ protocol }: Outputs, { name }: Dose, patient: WholePatient): TypedFigures {
  const asTyped = Object.fromEntries(Object.entries(patient).map(([of, value]) => [of, exactText(value)]));
  const figures: PatientFigures = patientFigures(protocol, asTyped);
  const shown = figures.rows.find((row) => row.name === name)?.figures ?? [];
  const said = (label: string, unit: string) =>
    shown
      .find((one) => one.label === label && one.text.endsWith(` ${unit}`))
      ?.text.slice(0, -unit.length - 1);
  const words = (label: string) => shown.find((one) => one.label === label)?.text;
  return {
    drawn: volumeOf(said("draw up", "mL")),
    drawnMass: massOf((unit) => said("which is", unit)),
    rate: rateOf((unit) => said("rate", unit)),
    total: amountOf((unit) => said("at most in all", unit)),
    mixedIn: words("mixed in"),
    repeated: words("repeated"),
    isSilent: shown.length === 0,
  };
}

/** A patient as a case has one. */
export function inFile(patient: WholePatient): FilePatient {
  return {
    weight: { value: exactText(patient.weight), unit: "kg" },
    age: { value: exactText(patient.age), unit: "a" },
    systolic: { value: exactText(patient.systolic), unit: "mm[Hg]" },
    circumference: { value: exactText(patient.circumference), unit: "cm" },
  };
}

/** What a replay says of a dose that a record tells: more, less, or nothing. */
export function replayedAs({ judge }: Outputs, { name }: Dose, patient: WholePatient, told: string): string {
  const rows = new CaseRows("the-case", 1);
  rows.doses.push({ text: `${name}: ${told}`, line: 2 });
  const found = judge.judge(rows, inFile(patient), { injected: new Set(), begun: new Map() });
  if (rows.unreadable.length > 0) return "not read";
  if (found.notJudged.length > 0) return "not judged";
  const words = found.deviations.map((one) => one.words).join(" ");
  return words === "" ? "as planned" : words.includes(" more than ") ? "more" : "less";
}

/** The amount that the elements of FHIR give a patient, in mg or mL; undefined where it stands there in words alone. */
export function inBundle({ bundle, protocol }: Outputs, dose: Dose, patient: Patient & WholePatient) {
  const place = protocol.doses.indexOf(dose) + 1;
  const node = dose.amount?.node;
  const band =
    node?.kind === "bands"
      ? node.rows.findIndex(({ range }) => contains(range.interval, patient[node.variable]))
      : undefined;
  const id = band === undefined ? `dose-${place}` : `dose-${place}-band-${band + 1}`;
  const [dosage] = dosagesIn(bundle, id);
  return dosage && amountIn(dosage, patient.weight);
}

function dosagesIn(bundle: Bundle, id: string): readonly Dosage[] {
  const definition = bundle.entry.map(({ resource }) => resource).find((one) => "id" in one && one.id === id);
  return definition?.resourceType === "ActivityDefinition" ? (definition.dosage ?? []) : [];
}

/** The rate that the elements of FHIR give a patient, in mg/s or mL/s. */
export function rateInBundle({ bundle, protocol }: Outputs, dose: Dose, { weight }: WholePatient) {
  const rates = dosagesIn(bundle, `dose-${protocol.doses.indexOf(dose) + 1}`).flatMap(
    ({ doseAndRate = [] }) => doseAndRate.flatMap((one) => one.rateQuantity ?? []),
  );
  return rates[0] && quantityFor(rates[0], weight);
}

/** What the elements of FHIR say of something that is mixed in, in mg or mL. */
export function mixedInBundle(
  { bundle, protocol }: Outputs,
  dose: Dose,
  at: number,
  { weight }: WholePatient,
) {
  const [dosage] = dosagesIn(bundle, `dose-${protocol.doses.indexOf(dose) + 1}-with-${at + 1}`);
  return dosage && amountIn(dosage, weight);
}

/** How often a dose is given again by the elements of FHIR; undefined where they say nothing of it. */
export function repeatsInBundle({ bundle, protocol }: Outputs, dose: Dose): number | undefined {
  const place = protocol.doses.indexOf(dose) + 1;
  const isBands = dose.amount?.node.kind === "bands";
  const dosages = dosagesIn(bundle, isBands ? `dose-${place}-band-1` : `dose-${place}`);
  const counts = dosages.flatMap(({ timing }) => timing?.repeat.count ?? []);
  // Without a condition the first one counts with them.
  const isAll = dosages.every((one) => one.asNeededCodeableConcept === undefined);
  return counts[0] === undefined ? undefined : counts[0] - (isAll ? 1 : 0);
}

function amountIn({ doseAndRate, maxDosePerAdministration }: Dosage, weight: Rational) {
  const given = doseAndRate?.[0];
  const quantity = given && "doseQuantity" in given ? given.doseQuantity : undefined;
  if (!quantity) return undefined;
  const amount = quantityFor(quantity, weight);
  const cap = maxDosePerAdministration && quantityFor(maxDosePerAdministration, weight);
  return cap && cap.value.compare(amount.value) < 0 ? cap : amount;
}

function quantityFor({ value, code }: Quantity, weight: Rational) {
  const unit = unitWithCode(code);
  if (!unit) throw new Error(`${code} is no unit`);
  const { dimension, perBase } = unit;
  const all = rational(String(value))
    .mul(perBase)
    .mul(dimension.weight === undefined ? 1 : weight);
  return { kind: dimension.mass === undefined ? ("volume" as const) : ("mass" as const), value: all };
}
