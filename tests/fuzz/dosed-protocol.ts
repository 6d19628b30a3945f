import type { Random } from "../solver/random.ts";
import { maybe } from "./choices.ts";
import { type AmountKind, amount, MASS, MASS_RATE, number, RATE, VOLUME } from "./random-amounts.ts";
import { plainText } from "./statements.ts";

/** A mass in grams and a volume for a small syringe: there few decimals say little. */
const GRAMS: AmountKind = {
  quantity: (random) => `0.${number(random, 101, 299)} g`,
  variables: [],
  step: "0.005 g",
};
const LITTLE: AmountKind = {
  quantity: (random) =>
    random.oneIn(2) ? `0.0${number(random, 1, 9)} mL/kg` : `0.${number(random, 11, 99)} mL`,
  variables: [],
  step: "0.05 mL",
};

const SYRINGES = [
  "1 mL marked every 0.01 mL",
  "2 mL marked every 0.1 mL",
  "10 mL marked every 0.2 mL",
  "50 mL marked every 1 mL",
];

const AGAIN = 'repeat 2 times every 5 min if "still unstable"';

/** A whole protocol of the base example's kind, whose drugs, syringes and doses are left to chance. */
export function dosedProtocol(base: string, random: Random): ReadonlyMap<string, string> {
  const syringe = () => maybe(random, `syringe ${random.pick(SYRINGES)}`).join("");
  const formulary = [
    `agent lidocaine {\n kind local-anaesthetic\n concentration ${random.pick(["0.5 %", "0.25 %", "3 mg/mL"])}\n maximum 4 mg/kg\n ${syringe()}\n}`,
    `agent lipid-emulsion {\n kind rescue\n concentration 20 %\n maximum 12 mL/kg\n ${syringe()}\n}`,
    `agent ketorolac {\n kind adjuvant\n concentration 30 mg/mL\n ${syringe()}\n}`,
  ].join("\n");
  // What is taken away may leave nothing, and a dose of nothing is an error.
  const written = (kind: AmountKind) => {
    const tokens = amount(random, kind, 1);
    const text = plainText([tokens]).trim();
    return tokens.some((one) => one === "-" || typeof one !== "string")
      ? `greater of ${kind.step} and ( ${text} )`
      : text;
  };
  // As nearly every protocol writes it; others are seldom so plain that FHIR has an element for them.
  const plain = `${number(random, 1, 5)} mg/kg up to ${number(random, 80, 400)} mg`;
  const local = random.oneIn(2) ? plain : written(random.pick([MASS, VOLUME, GRAMS]));
  const mixedIn = () =>
    maybe(random, `with ketorolac ${random.oneIn(2) ? MASS.quantity(random) : written(MASS)}`).join("");
  const own = maybe(random, `syringe ${random.pick(SYRINGES)}`).join("");
  const changes = [
    ["amount 3 mg/kg up to 200 mg", `amount ${local}\n ${mixedIn()}\n ${own}`],
    ["amount 1.5 mL/kg", `amount ${written(random.pick([VOLUME, LITTLE, MASS]))}\n ${mixedIn()}`],
    [
      AGAIN,
      random.pick([AGAIN, "", `repeat ${number(random, 1, 4)} times every ${number(random, 2, 9)} min`]),
    ],
    // As nearly every protocol writes it, too.
    [
      "rate  15 mL/kg/h",
      `rate ${random.oneIn(2) ? RATE.quantity(random) : written(random.pick([RATE, MASS_RATE]))}`,
    ],
    ["total up to 12 mL/kg", `total up to ${written(random.pick([VOLUME, MASS]))}`],
  ] as const;
  let protocol = base;
  for (const [from, to] of changes) {
    if (!protocol.includes(from)) throw new Error(`the base protocol has no "${from}"`);
    protocol = protocol.replace(from, to);
  }
  return new Map([
    ["protocol.limb", protocol],
    ["formulary.limb", formulary],
  ]);
}
