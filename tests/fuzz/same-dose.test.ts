import { type Rational, ratio, rational } from "@limbwright/shared/quantity";
import { expect, test } from "vitest";
import { patientText } from "../../language/population/index.ts";
import { doseFor } from "../../shared/runtime/amounts.ts";
import { readMeasures } from "../../shared/runtime/patient.ts";
import { baseTexts } from "../language/rule-file/compiled.ts";
import { again, asksAll, seeds } from "../questions.ts";
import { type Random, randomFrom } from "../solver/random.ts";
import { dosedProtocol } from "./dosed-protocol.ts";
import {
  byCheck,
  inBundle,
  inFile,
  inTable,
  type OnPaper,
  type Outputs,
  onSheet,
  outputsOf,
  type Printed,
  replayedAs,
  typed,
  type WholePatient,
} from "./told-doses.ts";

const PROTOCOLS = 30;
const PATIENTS = 8;

/** How often each told something, so that silence is not taken for agreement. */
const compared = new Map<string, number>();

test("same weight, same dose: by the check, the table, the sheet, what is typed, FHIR, the runtime and the replay", () => {
  const base = baseTexts().get("protocol.limb") ?? "";
  for (const seed of seeds(PROTOCOLS)) {
    const random = randomFrom(seed);
    const outputs = outputsOf(new Map([...baseTexts(), ...dosedProtocol(base, random)]));
    if (!outputs) continue;
    for (let patient = 0; patient < PATIENTS; patient += 1) {
      const who = patientFrom(random, patient % 2 === 0);
      for (const dose of outputs.protocol.doses) {
        expect(disagreements(outputs, dose, who), `${again(seed)}, ${dose.name}`).toEqual([]);
      }
    }
  }
});

test("each of them was asked", () => {
  // A dose that FHIR has in words alone, or that no syringe of its drug can measure, is left to chance.
  const always = ["runtime", "table", "typed", "sheet", "as planned", "more", "less"];
  const asked = asksAll() ? [...always, "FHIR"] : always;
  expect(asked.filter((one) => !compared.has(one))).toEqual([]);
});

/** Whoever stands in the table weighs whole kilograms; others weigh what lies between two of its rows. */
function patientFrom(random: Random, inTheTable: boolean): WholePatient {
  const between = (low: number, high: number) => rational(low + random.below(high - low + 1));
  const eighths = between(45 * 8, 129 * 8).div(8);
  return {
    weight: inTheTable ? eighths.floor() : eighths,
    age: between(16, 85),
    systolic: between(90, 180),
    circumference: between(25, 40),
  };
}

type Of = "mass" | "volume";

/** Whoever says something else of a dose than the check. */
function disagreements(
  outputs: Outputs,
  dose: Outputs["protocol"]["doses"][number],
  who: WholePatient,
): string[] {
  const found: string[] = [];
  const agree = (whose: string, isSo: boolean, words: () => string) => {
    compared.set(whose, (compared.get(whose) ?? 0) + 1);
    if (!isSo) found.push(`${whose}: ${words()} for ${patientText(who)}`);
  };
  const exact = { mass: byCheck(dose.mass, who), volume: byCheck(dose.volume, who) };

  const given = doseFor(outputs.file.protocol, readMeasures(inFile(who)), dose.name)?.amount;
  for (const of of ["mass", "volume"] as const) {
    const told = given?.[of] && rational(given[of].value);
    const right = exact[of];
    agree(
      "runtime",
      told && right ? told.equals(right) : told === right,
      () => `${told} ${of}, not ${right}`,
    );
  }
  const coded = inBundle(outputs, dose, who);
  if (coded) {
    const right = exact[coded.kind];
    agree("FHIR", right !== undefined && coded.value.equals(right), () => `${coded.value}, not ${right}`);
  }
  const shown = typed(outputs, dose, who);
  if (who.weight.mod(1).equals(0)) paper(shown);
  replay("mass", shown.drawnMass, exact.mass);
  replay("volume", shown.drawn, exact.volume);
  return found;

  function paper(figures: OnPaper): void {
    const rows = inTable(outputs, dose, who);
    agree("table", rows.length === 1, () => `${rows.length} rows`);
    for (const row of rows) {
      for (const of of ["mass", "volume"] as const) {
        const [printed, right] = [row[of], exact[of]];
        if (printed) agree("table", isNearly(printed.value, right), () => `${printed.text}, not ${right}`);
      }
      same("typed", row, figures);
      const printed = onSheet(outputs, dose, row);
      agree("sheet", printed.length > 0 || !(row.drawn ?? row.drawnMass), () => "no row");
      for (const one of printed) same("sheet", row, one);
    }
  }

  function same(whose: string, inTheTable: OnPaper, other: OnPaper): void {
    for (const of of ["drawn", "drawnMass"] as const) {
      const [right, told] = [inTheTable[of]?.text, other[of]?.text];
      if (right ?? told) agree(whose, right === told, () => `${told}, not ${right}`);
    }
  }

  /** A replay takes what stands on paper, the dose itself, and nothing beside the two. */
  function replay(of: Of, printed: Printed | undefined, right: Rational | undefined): void {
    if (!printed || !right) return;
    const unit = of === "mass" ? "mg" : "mL";
    agree("paper", printed.value.compare(right) <= 0, () => `${printed.text}, more than ${right}`);
    const tell = (record: string, answer: string) => {
      const told = replayedAs(outputs, dose, who, record);
      agree(answer, told === answer, () => `${record} is ${told} by the replay`);
    };
    tell(printed.text, "as planned");
    tell(`${decimals(right)} ${unit}`, "as planned");
    tell(`${decimals(right.add(A_LITTLE))} ${unit}`, "more");
    const less = printed.value.sub(A_LITTLE);
    if (less.compare(0) > 0) tell(`${decimals(less)} ${unit}`, "less");
  }
}

/** More than the two decimals on paper leave out. */
const A_LITTLE = ratio(1, 50);

/** As many decimals as a record may have. */
function decimals(value: Rational): string {
  return value.floor(8).toString();
}

/** A number that people read is never more than the dose, and less by no more than its two decimals. */
function isNearly(told: Rational, right: Rational | undefined): boolean {
  const lost = right?.sub(told);
  return lost !== undefined && lost.compare(0) >= 0 && lost.compare(ratio(1, 100)) < 0;
}
