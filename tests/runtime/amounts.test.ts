import { Site } from "@limbwright/language";
import { exactText, type Rational, ratio, rational } from "@limbwright/shared/quantity";
import { describe, expect, test } from "vitest";
import type { Protocol } from "../../language/model/index.ts";
import { type Expression, evaluate } from "../../language/population/index.ts";
import { Marks } from "../../language/rule-file/marks.ts";
import { isWhole, protocolPart } from "../../language/rule-file/protocol.ts";
import { doseFor, pressureFor } from "../../shared/runtime/amounts.ts";
import { readMeasures } from "../../shared/runtime/patient.ts";
import { randomProtocol } from "../fuzz/random-protocol.ts";
import { again, seeds } from "../questions.ts";
import { randomFrom } from "../solver/random.ts";
import { startedCase, wristFile } from "./started-case.ts";

test("a dose and the pressure are told exactly for the patient of the case", () => {
  const started = startedCase(wristFile());
  // 3 mg/kg for 60 kg, in 5 mg/mL; systolic 130 mmHg and 100 mmHg, but 250 mmHg at least.
  expect(started.dose("local")).toEqual({
    dose: "local",
    agent: "lidocaine",
    massUnit: "mg",
    amount: { mass: { value: "180", unit: "mg" }, volume: { value: "36", unit: "mL" } },
    adjuvants: [],
  });
  expect(started.pressure).toEqual({ value: "250", unit: "mm[Hg]" });
  expect(started.dose("no-such-dose")).toBeUndefined();
});

test("an amount is exact where floating point is not", () => {
  const small = startedCase(wristFile(["3 mg/kg up to 200 mg", "half of 0.1 mg/kg"]));
  expect(small.dose("local")?.amount).toEqual({
    mass: { value: "3", unit: "mg" },
    volume: { value: "0.6", unit: "mL" },
  });
});

describe("of random protocols", () => {
  const compared = new Map(seeds(300).map((seed) => [seed, compare(seed)]));

  test("many are compared, with tables, caps, rounding and rates", () => {
    const counts = [...compared.values()].map(({ length }) => length);
    expect(counts.reduce((sum, count) => sum + count, 0)).toBeGreaterThan(counts.length);
  });

  test("the formulas of the file give what the language gives", () => {
    for (const [seed, comparisons] of compared) {
      for (const { what, file, language } of comparisons)
        expect(`${what} ${file}`, again(seed)).toBe(`${what} ${language}`);
    }
  });
});

interface Comparison {
  readonly what: string;
  readonly file: string | undefined;
  readonly language: string | undefined;
}

/** Every amount, rate and pressure of a random protocol for five random patients, by the file and by the language. */
function compare(seed: number): Comparison[] {
  const text = randomProtocol(seed);
  const site = new Site((file) => (file === "random.limb" ? text : undefined));
  const protocol = site.file("random.limb")?.protocols[0];
  if (!protocol || !isWhole(protocol)) return [];
  const inFile = protocolPart(new Marks(), protocol);
  const random = randomFrom(seed);
  return Array.from({ length: 5 }, () => {
    const between = (low: number, high: number) => ratio(low * 7 + random.below((high - low) * 7), 7);
    const values = {
      weight: between(45, 130),
      age: between(16, 85),
      systolic: between(90, 180),
      circumference: between(25, 40),
    };
    const patient = readMeasures({
      weight: { value: exactText(values.weight), unit: "kg" },
      age: { value: exactText(values.age), unit: "a" },
      systolic: { value: exactText(values.systolic), unit: "mm[Hg]" },
      circumference: { value: exactText(values.circumference), unit: "cm" },
    });
    return comparisons(
      protocol,
      values,
      (name) => doseFor(inFile, patient, name),
      pressureFor(inFile, patient),
    );
  }).flat();
}

function comparisons(
  protocol: Protocol,
  values: Readonly<Record<"weight" | "age" | "systolic" | "circumference", Rational>>,
  doseOf: (name: string) => ReturnType<typeof doseFor>,
  pressure: ReturnType<typeof pressureFor>,
): Comparison[] {
  const exact = (expression: Expression | undefined, times = 1) => {
    const value = expression && evaluate(expression, values);
    return value && exactText(value.mul(times));
  };
  const plain = (measure: { readonly value: string } | undefined) =>
    measure && exactText(rational(measure.value));
  return [
    ...protocol.doses.flatMap((dose): Comparison[] => {
      const told = doseOf(dose.name);
      return [
        { what: `${dose.name} mass`, file: plain(told?.amount?.mass), language: exact(dose.mass) },
        { what: `${dose.name} volume`, file: plain(told?.amount?.volume), language: exact(dose.volume) },
        { what: `${dose.name} rate`, file: plain(told?.rate), language: exact(dose.rate?.expression, 3600) },
      ];
    }),
    { what: "pressure", file: plain(pressure), language: exact(protocol.cuffs?.pressure?.expression) },
  ];
}
