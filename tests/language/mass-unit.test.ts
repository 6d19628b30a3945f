import { checkFiles, compareSites, Site } from "@limbwright/language";
import { quantity, quantityText, rational, roundedText } from "@limbwright/shared/quantity";
import { describe, expect, test } from "vitest";
import { dose as doseWords } from "../../examples/rehearsal/parts/words.js";
import { sampleAmounts } from "../../language/editor/sample-amounts.ts";
import { doseCurvesOf } from "../../language/outputs/pictures/doses.ts";
import { CaseRows } from "../../shared/replay/case-rows.ts";
import { AmountJudge } from "../../shared/replay/judge-amounts.ts";
import { doseFor } from "../../shared/runtime/amounts.ts";
import { readMeasures } from "../../shared/runtime/patient.ts";
import { bundlesFrom } from "./fhir/bundles.ts";
import { baseTexts, ON } from "./rule-file/compiled.ts";

/** A whole protocol that gives a drug as an emergency dose, and in the block, in amounts that are written in one unit. */
function textsWith({ amount, maximum = "1 mcg/kg" }: { readonly amount: string; readonly maximum?: string }) {
  const base = baseTexts();
  const change = (file: string, ...pairs: readonly (readonly [string, string])[]) => {
    let text = base.get(file) ?? "";
    for (const [from, to] of pairs) {
      if (!text.includes(from)) throw new Error(`${file} has no "${from}"`);
      text = text.replace(from, to);
    }
    return text;
  };
  base.set(
    "protocol.limb",
    change(
      "protocol.limb",
      [
        "    dose lipid-bolus",
        `    dose calm of clonidine {\n amount ${amount}\n over 1 min\n }\n    dose lipid-bolus`,
      ],
      ["    give lipid-bolus", "    give calm\n    give lipid-bolus"],
      ["  timer hold", `  dose beside of clonidine {\n amount ${amount}\n over 1 min\n }\n\n  timer hold`],
      ["    inject local\n", "    inject local\n    give beside\n"],
    ),
  );
  base.set(
    "formulary.limb",
    `${base.get("formulary.limb")}
agent clonidine {
  kind          adjuvant
  concentration 15 mcg/mL
  syringe       10 mL marked every 0.2 mL
  maximum       ${maximum}
  source        "Invented, for a test"
}
`,
  );
  return base;
}

function siteWith(written: Parameters<typeof textsWith>[0]): Site {
  const texts = textsWith(written);
  return new Site((file) => texts.get(file));
}

/** A mass that is told in milligrams although it was written in micrograms. */
const MILLIGRAMS = /0\.0\d* mg/;

describe.each([
  { amount: "75 mcg", maximum: "50 mcg", told: "75 mcg", over: "25 mcg" },
  { amount: "0.075 mg", maximum: "0.05 mg", told: "0.075 mg", over: "0.025 mg" },
])("$amount are told as $told", ({ amount, maximum, told, over }) => {
  test("by what a check finds", () => {
    const [check] = [...checkFiles(siteWith({ amount, maximum }), ["protocol.limb"], { on: ON })];
    const found = check?.findings.filter(({ rule }) => rule === "dose-over-maximum") ?? [];
    expect(found.map(({ patients }) => patients?.example?.says)).toEqual([
      `${told}, ${over} over`,
      `${told}, ${over} over`,
    ]);
  });

  test("by a comparison", () => {
    const side = (name: string, written: string) => ({
      site: siteWith({ amount: written, maximum }),
      files: ["protocol.limb"],
      name,
    });
    const [only] = [...compareSites(side("before", "0.1 mL"), side("now", amount), { on: ON })];
    const change = only?.comparison.changes.find(
      ({ code, about }) => code === "dose-amount" && about.includes("calm"),
    );
    const [evidence] = change?.evidence ?? [];
    expect(evidence?.kind === "patients" ? evidence.example?.now : undefined).toBe(told);
  });

  test("by FHIR, in words", () => {
    const [bundle] = bundlesFrom(textsWith({ amount }), "protocol.limb", { on: ON, draft: true });
    const texts = JSON.stringify(bundle?.bundle).match(/"text":"[^"]*"/g) ?? [];
    expect(texts.filter((text) => text.includes(told)).length).toBeGreaterThan(0);
  });

  test("by replay and by the rehearsal", () => {
    const [bundle] = bundlesFrom(textsWith({ amount }), "protocol.limb", { on: ON, draft: true });
    const file = bundle?.ruleFile();
    if (!file) throw new Error("no rule file");
    const rows = new CaseRows("the-case", 1);
    rows.doses.push({ text: "calm: 0.1 mg", line: 2 });
    const patient = { weight: { value: "70", unit: "kg" } } as const;
    const { deviations } = new AmountJudge(file).judge(rows, patient, {
      injected: new Set(),
      begun: new Map(),
    });
    const given = amount.endsWith("mcg") ? "100 mcg" : "0.1 mg";
    expect(deviations.map(({ words }) => words)).toEqual([
      `\`calm\`: ${given} given, ${over} more than the protocol's ${told} for 70 kg.`,
    ]);
    const now = { dose: (name: string) => doseFor(file.protocol, readMeasures(patient), name) };
    expect(doseWords(now, "calm")).toBe(`clonidine, 5 mL (${told})`);
  });
});

describe("what grows with the weight is told in micrograms", () => {
  const protocol = siteWith({ amount: "1 mcg/kg" }).file("protocol.limb")?.protocols[0];
  const dose = protocol?.doses.find(({ name }) => name === "beside");
  if (!protocol || !dose) throw new Error("no dose");

  test("where the pointer rests, for the lightest, a middle and the heaviest patient", () => {
    const said = sampleAmounts(protocol, dose).map(({ amount }) => amount);
    expect(said[0]).toBe("45 mcg = 3 mL = 1 mcg/kg, 100 % of the maximum 1 mcg/kg");
    expect(said.join()).not.toMatch(MILLIGRAMS);
  });

  test("by the picture of the dose", () => {
    const curve = doseCurvesOf(protocol, "dose").find(({ id }) => id.includes("beside"));
    expect(curve?.unit).toBe("mcg");
    expect(curve?.dose[0]?.[0]).toEqual({ weight: 45, amount: 45 });
    expect(curve?.maximum[0]?.[0]).toEqual({ weight: 45, amount: 45 });
    expect(curve?.description).toContain("45 to 130 mcg");
  });
});

test.each([
  ["1/8", "mg", "0.125 mg"],
  ["3/40", "mg", "0.075 mg"],
  ["4/9", "mg", "0.44 mg"],
  ["1/30", "mg", "0.0333 mg"],
  ["1/3000", "mL", "0.000333 mL"],
  ["1000", "mL", "1000 mL"],
  ["0", "mg", "0 mg"],
])("%s %s that were worked out are told as %s, and nothing but nothing as 0", (value, unit, told) => {
  expect(roundedText(quantity(rational(value), unit))).toBe(told);
});

test.each(["0.001 mg", "0.0000001 mg/kg", "12345.678 mL"])("%s is told as it is written", (text) => {
  const [value = "", unit = ""] = text.split(" ");
  expect(quantityText(quantity(rational(value), unit))).toBe(text);
});
