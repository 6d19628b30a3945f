import { inBase, quantity, type Rational, ratio, rational } from "@limbwright/shared/quantity";
import { expect, test } from "vitest";
import { patientText } from "../../language/population/index.ts";
import { doseFor } from "../../shared/runtime/amounts.ts";
import { readMeasures } from "../../shared/runtime/patient.ts";
import { baseTexts } from "../language/rule-file/compiled.ts";
import { again, asksAll, seeds } from "../questions.ts";
import { type Random, randomFrom } from "../solver/random.ts";
import { dosedProtocol } from "./dosed-protocol.ts";
import {
  type BesideDose,
  byCheck,
  inBundle,
  inFile,
  inTable,
  mixedInBundle,
  type OnPaper,
  type Outputs,
  onSheet,
  outputsOf,
  type Printed,
  rateInBundle,
  repeatsInBundle,
  replayedAs,
  type TypedFigures,
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
  const infusions = [
    "runtime rate",
    "table rate",
    "typed rate",
    "runtime total",
    "table total",
    "typed total",
  ];
  const always = [
    "runtime",
    "table",
    "typed",
    "sheet",
    "as planned",
    "more",
    "less",
    "repeats",
    ...infusions,
  ];
  const mixedIn = ["runtime mixed in", "typed mixed in", "typed mixedIn", "sheet mixedIn", "sheet repeated"];
  const asked = asksAll() ? [...always, ...mixedIn, "FHIR", "FHIR rate", "FHIR mixed in"] : always;
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
  infusion();
  beside();
  return found;

  /** Its rate by the hour, and the total that ends it. */
  function infusion(): void {
    const rate = byCheck(dose.rate?.expression, who)?.mul(HOUR);
    const total = dose.rate && byCheck(dose.total?.expression, who);
    const ran = doseFor(outputs.file.protocol, readMeasures(inFile(who)), dose.name);
    const told = { rate: ran?.rate?.value, total: ran?.total?.[ofTotal()]?.value };
    for (const [of, right] of [
      ["rate", rate],
      ["total", total],
    ] as const) {
      const value = told[of] && rational(told[of]);
      const isSame = value && right ? value.equals(right) : !right && !value;
      if (right ?? value) agree(`runtime ${of}`, isSame === true, () => `${value}, not ${right}`);
      const figure = shown[of];
      if (right ?? figure)
        agree(
          `typed ${of}`,
          figure !== undefined && isNearly(figure.value, right),
          () => `${figure?.text}, not ${right}`,
        );
    }
    const coded = rateInBundle(outputs, dose, who);
    if (coded)
      agree(
        "FHIR rate",
        coded.value.mul(HOUR).equals(rate ?? 0),
        () => `${coded.value.mul(HOUR)}, not ${rate}`,
      );
  }

  function ofTotal(): Of {
    return dose.total?.dimension.mass === 1 ? "mass" : "volume";
  }

  /** What is mixed in, and how often a dose is given again. */
  function beside(): void {
    const told = doseFor(outputs.file.protocol, readMeasures(inFile(who)), dose.name)?.adjuvants ?? [];
    dose.adjuvants.forEach((one, at) => {
      const right = { mass: byCheck(one.mass, who), volume: byCheck(one.volume, who) };
      for (const of of ["mass", "volume"] as const) {
        const value = told[at]?.amount?.[of]?.value;
        agree(
          "runtime mixed in",
          value !== undefined && right[of]?.equals(rational(value)) === true,
          () => `${value} ${of}, not ${right[of]}`,
        );
      }
      const coded = mixedInBundle(outputs, dose, at, who);
      if (coded)
        agree(
          "FHIR mixed in",
          right[coded.kind]?.equals(coded.value) === true,
          () => `${coded.value}, not ${right[coded.kind]}`,
        );
      // Of a dose that its syringe cannot measure nothing is shown.
      if (shown.isSilent) return;
      const words = shown.mixedIn ?? "";
      const [, number = "", unit = ""] = /^ketorolac ([\d.]+) (mg|mcg|g)\b/.exec(words) ?? [];
      const mass = number === "" ? undefined : milligrams(number, unit);
      agree(
        "typed mixed in",
        mass !== undefined && isNearly(mass, right.mass),
        () => `"${words}", not ${right.mass} mg`,
      );
    });
    const again = outputs.file.protocol.doses.find(({ name }) => name === dose.name)?.repeat?.times;
    const coded = dose.amount && repeatsInBundle(outputs, dose);
    agree(
      "repeats",
      again === dose.repeat?.times,
      () => `${again} times in the file, not ${dose.repeat?.times}`,
    );
    agree("repeats", coded === dose.repeat?.times, () => `${coded} times in FHIR, not ${dose.repeat?.times}`);
    if (shown.isSilent) return;
    const words = dose.repeat ? `${dose.repeat.times} more, every ` : "";
    agree("repeats", (shown.repeated ?? "").startsWith(words), () => `"${shown.repeated}", not ${words}`);
  }

  function paper(figures: TypedFigures): void {
    const rows = inTable(outputs, dose, who);
    agree("table", rows.length === 1, () => `${rows.length} rows`);
    for (const row of rows) {
      for (const of of ["mass", "volume"] as const) {
        const [printed, right] = [row[of], exact[of]];
        if (printed) agree("table", isNearly(printed.value, right), () => `${printed.text}, not ${right}`);
      }
      if (!figures.isSilent || row.drawn) same("typed", row, figures);
      for (const [of, right] of [
        ["rate", byCheck(dose.rate?.expression, who)?.mul(HOUR)],
        ["total", dose.rate && byCheck(dose.total?.expression, who)],
      ] as const) {
        const printed = row[of];
        if (right ?? printed)
          agree(
            `table ${of}`,
            printed !== undefined && isNearly(printed.value, right),
            () => `${printed?.text}, not ${right}`,
          );
      }
      const printed = onSheet(outputs, dose, row);
      agree("sheet", printed.length > 0 || !(row.drawn ?? row.drawnMass), () => "no row");
      for (const one of printed) same("sheet", row, one);
    }
  }

  function same(whose: string, inTheTable: OnPaper & BesideDose, other: OnPaper & BesideDose): void {
    for (const of of ["drawn", "drawnMass", "rate", "total"] as const) {
      const [right, told] = [inTheTable[of]?.text, other[of]?.text];
      if (right ?? told) agree(whose, right === told, () => `${told}, not ${right}, ${of}`);
    }
    for (const of of ["mixedIn", "repeated"] as const) {
      const [right, told] = [inTheTable[of], other[of]];
      if (right ?? told) agree(`${whose} ${of}`, right === told, () => `"${told}", not "${right}"`);
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

const HOUR = 3600;

function milligrams(number: string, unit: string): Rational {
  return inBase(quantity(rational(number), unit));
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
