import { ucum as independent } from "@atomic-ehr/ucum";
import {
  exactText,
  fromBase,
  inBase,
  misspeltUnit,
  quantity,
  rational,
  requireUnit,
  sameDimension,
  UNITS,
  type Unit,
  unitOf,
} from "@limbwright/shared/quantity";
import { describe, expect, test } from "vitest";
import { compiledExamples } from "../language/rule-file/example-site.ts";
import { isValidCode, reference } from "./ucum-programs.ts";

const codes = [...new Set(UNITS.map(({ ucum }) => ucum))];

describe("every unit of the language", () => {
  test.each(codes)("has a code that both programs know: %s", (code) => {
    expect(isValidCode(code)).toEqual([true, true]);
  });

  const pairs = UNITS.flatMap((from) =>
    UNITS.filter((to) => to !== from && sameDimension(from.dimension, to.dimension)).map(
      (to): [string, Unit, Unit] => [`${from.symbol} to ${to.symbol}`, from, to],
    ),
  );

  test.each(pairs)("converts as both programs do: %s", (_, from, to) => {
    const ours = fromBase(inBase({ value: rational(15), unit: from }), to.symbol).value.valueOf();
    const theirs = [
      reference.convertUnitTo(from.ucum, 15, to.ucum).toVal,
      independent.convert(15, from.ucum, to.ucum),
    ];
    for (const value of theirs) expect((value ?? Number.NaN) / ours).toBeCloseTo(1, 12);
  });

  test("has units of one dimension where it has several, so that the conversions above say something", () => {
    expect(pairs.length).toBeGreaterThan(40);
  });
});

describe("spellings that UCUM does not know are never written to a file", () => {
  test.each(["mmHg", "mcg", "µg", "μg", "cc"])("%s is no code", (written) => {
    expect(isValidCode(written)).toEqual([false, false]);
    expect(codes).not.toContain(written);
  });

  test("both micro signs are recognised, and coded as ug", () => {
    for (const sign of ["\u00b5", "\u03bc"]) {
      expect(unitOf(`${sign}g`)).toBeUndefined();
      expect(misspeltUnit(`${sign}g`)).toMatchObject({
        kind: "error-prone",
        unit: { symbol: "mcg", ucum: "ug" },
      });
    }
  });

  test("mmHg is coded as mm[Hg]", () => {
    expect(requireUnit("mmHg").ucum).toBe("mm[Hg]");
  });
});

describe("published conversions", () => {
  test("15 mL/kg/h is 0.25 mL/kg/min exactly", () => {
    const ours = fromBase(inBase(quantity(rational(15), "mL/kg/h")), "mL/kg/min");
    expect(exactText(ours.value)).toBe("0.25");
    expect(reference.convertUnitTo("mL/kg/h", 15, "mL/kg/min").toVal).toBe(0.25);
    expect(independent.convert(15, "mL/kg/h", "mL/kg/min")).toBe(0.25);
  });

  test("100 mm[Hg] are 13.3322 kPa, the unit by which a code for mmHg is known to be right", () => {
    expect(reference.convertUnitTo("mm[Hg]", 100, "kPa").toVal).toBeCloseTo(13.3322, 10);
    expect(independent.convert(100, "mm[Hg]", "kPa")).toBeCloseTo(13.3322, 10);
  });

  test("1 % is weight in volume, 10 mg/mL: UCUM's % is a plain number, so the code is g/dL", () => {
    const ours = fromBase(inBase(quantity(rational(1), "%")), "mg/mL");
    expect(exactText(ours.value)).toBe("10");
    expect(requireUnit("%").ucum).toBe("g/dL");
    expect(reference.convertUnitTo("%", 1, "mg/mL").toVal).toBeNull();
    expect(independent.isConvertible("%", "mg/mL")).toBe(false);
    expect(independent.convert(1, "g/dL", "mg/mL")).toBeCloseTo(10, 10);
  });
});

test("every unit in every compiled example is a code that both programs know", () => {
  const written = compiledExamples().flatMap(({ text }) =>
    [...text.matchAll(/"unit":"([^"]*)"/g)].map(([, code = ""]) => code),
  );
  const different = [...new Set(written)];
  expect(different.length).toBeGreaterThan(10);
  expect(different.filter((code) => isValidCode(code).includes(false))).toEqual([]);
});
