import type { Random } from "../solver/random.ts";
import { block, type Statement } from "./statements.ts";

type Tokens = Statement;

/** What an amount may be made of: how its single quantities are written, and its variables if it has any. */
export interface AmountKind {
  readonly quantity: (random: Random) => string;
  readonly variables: readonly string[];
  /** A step to round down to. */
  readonly step: string;
}

export const MASS: AmountKind = {
  quantity: (random) =>
    random.oneIn(2)
      ? `${number(random, 1, 6)} mg/kg`
      : `${number(random, 20, 400)} ${random.pick(["mg", "mg", "mcg"])}`,
  variables: [],
  step: "5 mg",
};

export const VOLUME: AmountKind = {
  quantity: (random) =>
    random.oneIn(2) ? `${number(random, 0, 2)}.5 mL/kg` : `${number(random, 10, 60)} mL`,
  variables: [],
  step: "1 mL",
};

export const RATE: AmountKind = {
  quantity: (random) => `${number(random, 1, 20)} ${random.pick(["mL/kg/h", "mL/h", "mL/kg/min"])}`,
  variables: [],
  step: "1 mL/h",
};

export const MASS_RATE: AmountKind = {
  quantity: (random) =>
    `${number(random, 1, 20)} ${random.pick(["mg/kg/h", "mg/h", "mg/min", "mcg/kg/min"])}`,
  variables: [],
  step: "1 mg/h",
};

export const PRESSURE: AmountKind = {
  quantity: (random) => `${number(random, 20, 250)} mmHg`,
  variables: ["systolic"],
  step: "5 mmHg",
};

/** A whole or decimal number from `from` to `to`. */
export function number(random: Random, from: number, to: number): string {
  return `${from + random.below(to - from + 1)}`;
}

/** An amount with everything the language can build, nested at most `depth` deep. */
export function amount(random: Random, kind: AmountKind, depth = 2): Tokens {
  let tokens = addition(random, kind, depth);
  while (random.oneIn(4)) {
    tokens = random.oneIn(2)
      ? [...tokens, "up", "to", ...addition(random, kind, depth - 1)]
      : [...tokens, "rounded", "down", "to", kind.step];
  }
  return tokens;
}

function addition(random: Random, kind: AmountKind, depth: number): Tokens {
  let tokens = term(random, kind, depth);
  while (depth > 0 && random.oneIn(4)) {
    tokens = [...tokens, random.pick(["+", "-"]), ...term(random, kind, depth - 1)];
  }
  return tokens;
}

function term(random: Random, kind: AmountKind, depth: number): Tokens {
  if (depth <= 0 || random.oneIn(2)) return leaf(random, kind);
  switch (random.below(5)) {
    case 0:
      return ["half", "of", ...term(random, kind, depth - 1)];
    case 1:
      return [`${number(random, 10, 95)} %`, "of", ...term(random, kind, depth - 1)];
    case 2:
      return ["(", ...amount(random, kind, depth - 1), ")"];
    case 3:
      return [
        random.pick(["lesser", "greater"]),
        "of",
        ...addition(random, kind, depth - 1),
        "and",
        ...addition(random, kind, depth - 1),
      ];
    default:
      return bands(random, kind, depth - 1);
  }
}

function leaf(random: Random, kind: AmountKind): Tokens {
  return kind.variables.length > 0 && random.oneIn(3)
    ? [random.pick(kind.variables)]
    : [kind.quantity(random)];
}

const BAND_UNITS: Readonly<Record<string, string>> = {
  weight: "kg",
  age: "years",
  systolic: "mmHg",
  circumference: "cm",
};

/** A table whose rows follow each other without a gap, for every patient, by a variable of the patient. */
export function bands(
  random: Random,
  kind: AmountKind,
  depth: number,
  by = random.pick(Object.keys(BAND_UNITS)),
): Tokens {
  const unit = BAND_UNITS[by] ?? "";
  const edges = Array.from({ length: 1 + random.below(3) }, (_, index) => `${30 + 20 * index} ${unit}`);
  const isAge = by === "age";
  const rows: Statement[] = edges.map((edge, index) => {
    const next = edges[index + 1];
    const range =
      next === undefined
        ? random.pick([
            [edge, "and", "over"],
            [edge, "to", `300 ${unit}`],
          ])
        : [
            random.oneIn(2) ? edge : (edge.split(" ")[0] ?? ""),
            "to",
            ...(isAge ? [dayBefore(next)] : ["under", next]),
          ];
    return [...range, ...amount(random, kind, depth)];
  });
  const [first = ""] = edges;
  const least = isAge ? [dayBefore(first), "and", "under"] : ["under", first];
  const below: Statement = [...least, ...amount(random, kind, depth)];
  return ["by", by, block(below, ...rows)];
}

/** The last age in completed years before a birthday. */
function dayBefore(birthday: string): string {
  return birthday.replace(/^\d+/, (years) => `${Number(years) - 1}`);
}

/** A range of one variable, in each of its spellings; no age is over or under a birthday. */
export function range(random: Random, lowest: number, highest: number, unit: string): Tokens {
  const middle = lowest + 1 + random.below(highest - lowest - 1);
  return random.pick<Tokens>([
    [`${lowest}`, "to", `${highest} ${unit}`],
    [`${lowest} ${unit}`, "to", `${middle} ${unit}`],
    ...(unit === "years" ? [] : openRanges(lowest, middle, highest, unit)),
  ]);
}

function openRanges(lowest: number, middle: number, highest: number, unit: string): Tokens[] {
  return [
    [`${lowest} ${unit}`, "to", "under", `${middle} ${unit}`],
    ["over", `${lowest} ${unit}`, "to", `${middle} ${unit}`],
    ["over", `${lowest} ${unit}`, "to", "under", `${highest} ${unit}`],
  ];
}

/** A range that is open on one side. */
export function openRange(random: Random, edge: number, unit: string): Tokens {
  return random.pick<Tokens>([
    ...(unit === "years"
      ? []
      : [
          ["under", `${edge} ${unit}`],
          ["over", `${edge} ${unit}`],
        ]),
    [`${edge} ${unit}`, "and", "over"],
    [`${edge} ${unit}`, "and", "under"],
  ]);
}

/** A time, or one of the ways to say a shortest and a longest. */
export function duration(random: Random): Tokens {
  const minutes = 1 + random.below(20);
  return random.pick<Tokens>([
    [`${minutes} min`],
    [`${minutes * 30} s`],
    [`${minutes} min`, "to", `${minutes + 5} min`],
    [`${minutes}`, "to", `${minutes + 1} min`],
    [`${minutes * 10} s`, "to", `${minutes} min`],
    [`${minutes} min`, "or", "more"],
  ]);
}
