import { describe, expect, test } from "vitest";
import { findingsOf, protocolWith } from "./worked-dose.ts";

/*
 * Error-prone dose expressions, Institute for Safe Medication Practices (passages read):
 * http://www.pulmonologyadvisor.com/clinical-charts/error-prone-dose-designations/article/661735/ and
 * http://www.studywithclpna.com/drugcalculations/digital/practices.htm
 */

const withAmount = (amount: string) => protocolWith({ agent: "lidocaine", concentration: "0.5 %", amount });

function repairOf(rule: string, amount: string): string | undefined {
  return findingsOf(rule, withAmount(amount))[0]?.repairs[0]?.changes[0]?.text;
}

describe("each listed expression is found, with the safe one as its repair", () => {
  test.each([
    ["a trailing zero", "trailing-zero", "150.0 mg", "150 mg"],
    ["a trailing zero after decimals", "trailing-zero", "2.50 mg/kg", "2.5 mg/kg"],
    ["no leading zero", "missing-leading-zero", ".5 mg/kg", "0.5 mg/kg"],
    ["µg with the micro sign", "error-prone-unit", "150 \u00b5g", "150 mcg"],
    ["μg with the Greek letter", "error-prone-unit", "150 \u03bcg", "150 mcg"],
    ["cc", "error-prone-unit", "30 cc", "30 mL"],
    ["a decimal comma", "number-badly-written", "2,5 mg/kg", "2.5 mg/kg"],
    ["a comma in thousands", "number-badly-written", "1,000 mg", "1000 mg"],
  ])("%s", (_name, rule, amount, safe) => {
    expect(repairOf(rule, amount)).toBe(safe);
  });
});

test.each(["150 mg", "0.5 mg/kg", "2.5 mg/kg", "150 mcg", "30 mL"])(
  "the safe expression %s is left alone",
  (amount) => {
    const rules = ["trailing-zero", "missing-leading-zero", "error-prone-unit", "number-badly-written"];
    expect(rules.flatMap((rule) => findingsOf(rule, withAmount(amount)))).toEqual([]);
  },
);
