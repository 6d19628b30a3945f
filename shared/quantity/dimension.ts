/**
 * What a quantity measures, as exponents over independent bases. Body weight (kg) is a base of its
 * own, apart from the mass of a drug (mg), and so is age (years) apart from time (seconds): "4 mg/kg"
 * is then mass per weight and can never be mistaken for a pure number.
 */
export type Base = "mass" | "volume" | "time" | "length" | "pressure" | "weight" | "age";

export type Dimension = Readonly<Partial<Record<Base, number>>>;

/** Dimensions in the trade's words, with the units they are written in. */
const NAMES = new Map<string, string>();

function named(dimension: Dimension, name: string): Dimension {
  NAMES.set(dimensionKey(dimension), name);
  return dimension;
}

export const MASS = named({ mass: 1 }, "a mass (mg)");
export const VOLUME = named({ volume: 1 }, "a volume (mL)");
export const TIME = named({ time: 1 }, "a time (s, min, h)");
export const LENGTH = named({ length: 1 }, "a length (cm)");
export const PRESSURE = named({ pressure: 1 }, "a pressure (mmHg)");
export const WEIGHT = named({ weight: 1 }, "a body weight (kg)");
export const AGE = named({ age: 1 }, "an age (years)");
export const CONCENTRATION = named({ mass: 1, volume: -1 }, "a concentration (%, mg/mL)");
export const MASS_PER_WEIGHT = named({ mass: 1, weight: -1 }, "a mass per weight (mg/kg)");
export const VOLUME_PER_WEIGHT = named({ volume: 1, weight: -1 }, "a volume per weight (mL/kg)");
export const MASS_RATE = named({ mass: 1, time: -1 }, "a mass rate (mg/min)");
export const VOLUME_RATE = named({ volume: 1, time: -1 }, "a volume rate (mL/min)");
export const MASS_PER_WEIGHT_RATE = named(
  { mass: 1, weight: -1, time: -1 },
  "a mass rate per weight (mg/kg/h)",
);
export const VOLUME_PER_WEIGHT_RATE = named(
  { volume: 1, weight: -1, time: -1 },
  "a volume rate per weight (mL/kg/h)",
);
export const COUNT = named({}, "a number without a unit");

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
