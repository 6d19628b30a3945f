import type { Rational } from "@limbwright/shared/quantity";
import type { Variable } from "./expression.ts";

/** One patient, as far as it matters: a number, in base units, per variable. */
export type Patient = Readonly<Partial<Record<Variable, Rational>>>;
