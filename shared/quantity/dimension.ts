/**
 * What a quantity measures, as exponents over independent bases. Body weight (kg) is a base of its
 * own, apart from the mass of a drug (mg), and so is age (years) apart from time (seconds): "4 mg/kg"
 * is then mass per weight and can never be mistaken for a pure number.
 */
export type Base = "mass" | "volume" | "time" | "length" | "pressure" | "weight" | "age";

export type Dimension = Readonly<Partial<Record<Base, number>>>;

export const MASS: Dimension = { mass: 1 };
export const VOLUME: Dimension = { volume: 1 };
export const TIME: Dimension = { time: 1 };
export const LENGTH: Dimension = { length: 1 };
export const PRESSURE: Dimension = { pressure: 1 };
export const WEIGHT: Dimension = { weight: 1 };
export const AGE: Dimension = { age: 1 };
export const CONCENTRATION: Dimension = { mass: 1, volume: -1 };
export const MASS_PER_WEIGHT: Dimension = { mass: 1, weight: -1 };
export const VOLUME_PER_WEIGHT: Dimension = { volume: 1, weight: -1 };
export const MASS_RATE: Dimension = { mass: 1, time: -1 };
export const VOLUME_RATE: Dimension = { volume: 1, time: -1 };
export const MASS_PER_WEIGHT_RATE: Dimension = { mass: 1, weight: -1, time: -1 };
export const VOLUME_PER_WEIGHT_RATE: Dimension = { volume: 1, weight: -1, time: -1 };
export const COUNT: Dimension = {};

const NAMES: ReadonlyMap<string, string> = new Map(
  (
    [
      [MASS, "a mass (mg)"],
      [VOLUME, "a volume (mL)"],
      [TIME, "a time (s, min, h)"],
      [LENGTH, "a length (cm)"],
      [PRESSURE, "a pressure (mmHg)"],
      [WEIGHT, "a body weight (kg)"],
      [AGE, "an age (years)"],
      [CONCENTRATION, "a concentration (%, mg/mL)"],
      [MASS_PER_WEIGHT, "a mass per weight (mg/kg)"],
      [VOLUME_PER_WEIGHT, "a volume per weight (mL/kg)"],
      [MASS_RATE, "a mass rate (mg/min)"],
      [VOLUME_RATE, "a volume rate (mL/min)"],
      [MASS_PER_WEIGHT_RATE, "a mass rate per weight (mg/kg/h)"],
      [VOLUME_PER_WEIGHT_RATE, "a volume rate per weight (mL/kg/h)"],
      [COUNT, "a number without a unit"],
    ] as const
  ).map(([dimension, name]) => [dimensionKey(dimension), name]),
);

/** A text that is the same for equal dimensions and no others. */
function dimensionKey(dimension: Dimension): string {
  return (Object.keys(dimension) as Base[])
    .filter((base) => dimension[base])
    .sort()
    .map((base) => `${base}^${dimension[base]}`)
    .join(" ");
}

export function sameDimension(a: Dimension, b: Dimension): boolean {
  return dimensionKey(a) === dimensionKey(b);
}

/** The dimension of a product. */
export function timesDimension(a: Dimension, b: Dimension): Dimension {
  const product: Partial<Record<Base, number>> = { ...a };
  for (const base of Object.keys(b) as Base[]) {
    product[base] = (product[base] ?? 0) + (b[base] ?? 0);
  }
  return product;
}

/** The dimension in the trade's words, with the units it is written in: "a mass (mg)". */
export function dimensionName(dimension: Dimension): string {
  return NAMES.get(dimensionKey(dimension)) ?? "a quantity of an unusual kind";
}
