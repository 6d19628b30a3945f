import { Site } from "@limbwright/language";
import { rational } from "@limbwright/shared/quantity";
import { expect, test } from "vitest";
import type { Protocol } from "../../../language/model/index.ts";
import { type Expression, evaluate } from "../../../language/population/index.ts";
import { disagreements, disagreementsIn } from "./marked-reading.ts";

/** A protocol whose one dose is of 0.5 % lidocaine (5 mg/mL), and whose cuff has a pressure and a table. */
function protocolWith(amount: string, pressure = "250 mmHg"): Protocol {
  const text = `agent lidocaine {
  kind local-anaesthetic
  concentration 0.5 %
}
protocol wrist {
  version 1.0.0
  status draft
  patients {
    age 16 to 85 years
    weight 45 to 130 kg
    systolic 90 to 180 mmHg
  }
  cuffs proximal on upper-arm {
    occlusion by circumference {
      under 30 cm 150 mmHg
      30 cm and over 170 mmHg
    }
    pressure ${pressure}
    ceiling 300 mmHg
  }
  dose local of lidocaine {
    amount ${amount}
    over 90 s
  }
  steps {
    inject local
  }
}
`;
  const read = new Site(() => text).file("a.limb");
  const [protocol] = read?.protocols ?? [];
  if (!protocol || read?.problems.length !== 0) throw new Error(JSON.stringify(read?.problems));
  return protocol;
}

function valueAt(
  expression: Expression | undefined,
  patient: Record<string, string | number>,
): string | undefined {
  const values = Object.entries(patient).map(([variable, value]) => [variable, rational(value)]);
  return expression && evaluate(expression, Object.fromEntries(values))?.toFraction();
}

/** The dose in mg and in mL for a weight in kg. */
function doseAt(amount: string, weight: number): (string | undefined)[] {
  const [dose] = protocolWith(amount).doses;
  return [valueAt(dose?.mass, { weight }), valueAt(dose?.volume, { weight })];
}

test.each([
  ["200 mg", 70, "200", "40"],
  ["0.2 g", 70, "200", "40"],
  ["40 mL", 70, "200", "40"],
  ["3 mg/kg", 70, "210", "42"],
  ["0.6 mL/kg", 70, "210", "42"],
  ["3000 mcg/kg", 70, "210", "42"],
  ["0.1 mg/kg", 70, "7", "7/5"],
  ["3 mg/kg up to 200 mg", 70, "200", "40"],
  ["3 mg/kg up to 40 mL", 70, "200", "40"],
  ["3 mg/kg up to 200 mg", 50, "150", "30"],
  ["lesser of 3 mg/kg and 200 mg", 70, "200", "40"],
  ["greater of 3 mg/kg and 200 mg", 70, "210", "42"],
  ["greater of 50 mg and (lesser of 3 mg/kg and 150 mg)", 70, "150", "30"],
  ["lesser of (greater of 3 mg/kg and 150 mg) and 200 mg", 45, "150", "30"],
  ["half of 3 mg/kg", 70, "105", "21"],
  ["80 % of 3 mg/kg", 70, "168", "168/5"],
  ["50 % of (3 mg/kg + 10 mL)", 70, "130", "26"],
  ["3 mg/kg + 10 mg - 5 mL", 70, "195", "39"],
  ["3 mg/kg - 10 mg + 5 mg", 70, "205", "41"],
  ["3 mg/kg - (10 mg + 5 mg)", 70, "195", "39"],
])("%s at %d kg is %s mg, %s mL", (amount, weight, mass, volume) => {
  expect(doseAt(amount, weight)).toEqual([mass, volume]);
});

test.each([
  ["3 mg/kg rounded down to 1 mL", 66, "195", "39"],
  ["3 mg/kg rounded down to 10 mg", 66, "190", "38"],
  ["3 mg/kg up to 197 mg rounded down to 1 mL", 66, "195", "39"],
  ["3 mg/kg rounded down to 1 mL up to 193 mg", 66, "193", "193/5"],
  ["3 mg/kg up to 198 mg rounded down to 1 mL up to 194 mg rounded down to 2 mL", 66, "190", "38"],
])(
  "caps and rounding apply from left to right: %s at %d kg is %s mg, %s mL",
  (amount, weight, mass, volume) => {
    expect(doseAt(amount, weight)).toEqual([mass, volume]);
  },
);

const BANDS = `by weight {
      45 kg to under 50 kg   30 mL
      50 kg to under 60 kg   3 mg/kg
      60 kg and over         40 mL
    }`;

test.each([
  [45, "150"],
  [49, "150"],
  [50, "150"],
  [59, "177"],
  [60, "200"],
])("a table gives each row to its own weights, edges included: at %d kg %s mg", (weight, mass) => {
  expect(doseAt(BANDS, weight)[0]).toBe(mass);
});

test("a table has no value where no row holds the patient, and is capped like any amount", () => {
  expect(doseAt(BANDS, 44)).toEqual([undefined, undefined]);
  expect(doseAt(`(${BANDS}) up to 160 mg`, 60)).toEqual(["160", "32"]);
});

test.each([
  ["systolic + 100 mmHg", { systolic: 150 }, "250"],
  ["greater of systolic + 100 mmHg and 250 mmHg", { systolic: 120 }, "250"],
  ["occlusion-pressure + 50 mmHg", { circumference: 30 }, "220"],
  [
    "lesser of occlusion-pressure + 50 mmHg and systolic + 100 mmHg",
    { circumference: 29, systolic: 90 },
    "190",
  ],
])("a pressure is %s", (pressure, patient, expected) => {
  expect(valueAt(protocolWith("200 mg", pressure).cuffs?.pressure?.expression, patient)).toBe(expected);
});

test("a percentage is weight in volume, and the same amount can be written both ways", () => {
  const [dose] = protocolWith("200 mg = 40 mL").doses;
  expect(dose?.concentration?.unit.symbol).toBe("%");
  expect([dose?.mass, dose?.sameAmount?.expression].map((one) => valueAt(one, {}))).toEqual(["200", "40"]);
});

test("an amount keeps how it was written, for the sheet", () => {
  const [dose] = protocolWith("80 % of 3 mg/kg up to 200 mg rounded down to 1 mL").doses;
  expect(dose?.amount?.node).toMatchObject({
    kind: "rounded-down",
    of: { kind: "capped", of: { kind: "share", of: { kind: "quantity" } }, limit: { kind: "quantity" } },
  });
});

test("what does not fit together is reported at the part that does not", () => {
  expect(
    disagreements(`
dose local of lidocaine {
  amount lesser of 3 mg/kg and 200 mmHg
//                             ^^^^^^^^ unit-mismatch: but this is a pressure
  over   90 s
}
cuffs proximal "grey", distal "white" on upper-arm {
  pressure greater of systolic + 100 mg and 250 mmHg
//                               ^^^^^^ unit-mismatch: takes a pressure (mmHg), but this is a mass
  ceiling  300 mmHg
}
`),
  ).toEqual([]);
});

test("without a concentration a mass and a volume do not mix", () => {
  expect(
    disagreementsIn({
      "a.limb": `agent tincture {
  kind local-anaesthetic
}
protocol wrist {
  version 1.0.0
  status draft
  patients {
    age 16 to 85 years
    weight 45 to 130 kg
    systolic 90 to 180 mmHg
  }
  cuffs proximal on upper-arm {
    pressure 250 mmHg
  }
  dose local of tincture {
    amount 200 mg up to 40 mL
//                      ^^^^^ unit-mismatch: takes a mass (mg), but this is a volume (mL)
    over   90 s
  }
  steps {
    inject local
  }
}
`,
    }),
  ).toEqual([]);
});

test("a choice takes two amounts, a share a percentage, a step to round to is over zero", () => {
  expect(
    disagreements(`
dose local of lidocaine {
  amount lesser of 3 mg/kg and 200 mg and 40 mL
//                                    ^^^ text-not-understood: take two amounts
  over   90 s
}
dose second of lidocaine {
  amount 80 of 3 mg/kg
//       ^^ unit-missing: a percentage such as \`80 %\`
  over   90 s
}
dose third of lidocaine {
  amount 3 mg/kg rounded down to 0 mL
//                               ^^^^ value-out-of-range: over zero
  over   90 s
}
dose fourth of lidocaine {
  amount by weight {
//       ^^^^^^^^^ statement-missing: The table has no rows.
  }
  over   90 s
}
`),
  ).toEqual([]);
});

test("a dose of an agent in several concentrations names the one it means", () => {
  expect(
    disagreements(`
dose local of lidocaine at 2 % {
//                         ^^^ word-not-known: Name one of 0.5 %
  amount 3 mg/kg up to 200 mg
  over   90 s
}
`),
  ).toEqual([]);
});

/** What is written of amounts that two people read in two ways. */
function readings(amount: string): string[] {
  const text = `agent lidocaine {\n concentration 0.5 %\n}\nprotocol wrist {\n dose local of lidocaine {\n amount ${amount}\n }\n}\n`;
  const problems = new Site(() => text).file("a.limb")?.problems ?? [];
  const [problem] = problems.filter(({ rule }) => rule === "amount-read-in-two-ways");
  return problem?.repairs?.map(({ title }) => title.replace("Write ", "")) ?? [];
}

test.each([
  ["2 mg/kg up to 150 mg + 50 mg", "(2 mg/kg up to 150 mg) + 50 mg", "2 mg/kg up to (150 mg + 50 mg)"],
  ["2 mg/kg up to 150 mg - 50 mg", "(2 mg/kg up to 150 mg) - 50 mg", "2 mg/kg up to (150 mg - 50 mg)"],
  [
    "2 mg/kg up to 1 mg + 2 mg + 3 mg",
    "(2 mg/kg up to 1 mg) + 2 mg + 3 mg",
    "2 mg/kg up to (1 mg + 2 mg + 3 mg)",
  ],
  ["50 mg + 2 mg/kg up to 150 mg", "(50 mg + 2 mg/kg) up to 150 mg", "50 mg + (2 mg/kg up to 150 mg)"],
  [
    "50 mg + 2 mg/kg rounded down to 10 mg",
    "(50 mg + 2 mg/kg) rounded down to 10 mg",
    "50 mg + (2 mg/kg rounded down to 10 mg)",
  ],
  ["half of 3 mg/kg + 50 mg", "(half of 3 mg/kg) + 50 mg", "half of (3 mg/kg + 50 mg)"],
  ["1 mg + 80 % of 3 mg/kg - 5 mg", "1 mg + (80 % of 3 mg/kg) - 5 mg", "1 mg + 80 % of (3 mg/kg - 5 mg)"],
])("`%s` asks for parentheses: `%s` or `%s`", (amount, first, second) => {
  expect(readings(amount)).toEqual([first, second]);
  expect(readings(first)).toEqual([]);
  expect(readings(second)).toEqual([]);
});

test.each([
  "(2 mg/kg) up to (150 mg + 50 mg)",
  "2 mg/kg + 50 mg up to 150 mg",
  "50 mg + 1 mL up to 150 mg rounded down to 1 mL",
  "lesser of 3 mg/kg and 150 mg + 50 mg",
  "2 mg/kg up to half of 250 mg",
  "(half of 3 mg/kg) + 50 mg",
  "1 mg + 2 mg - 1 mg",
])("`%s` is read in one way", (amount) => {
  expect(readings(amount)).toEqual([]);
});

test("a pressure with a margin and a ceiling is read in one way", () => {
  expect(protocolWith("30 mL", "systolic + 100 mmHg up to 300 mmHg").cuffs?.pressure).toBeDefined();
});
