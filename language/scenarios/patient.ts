import { exactText } from "@limbwright/shared/quantity";
import type { Patient } from "@limbwright/shared/runtime";
import type { Scenario, WrittenQuantity } from "../model/index.ts";
import { VARIABLES } from "../population/index.ts";

/** The patient of a scenario, in the units of a rule file; or why there is none. */
export function patientOf({ lines }: Scenario): Patient | string {
  const values = new Map<string, WrittenQuantity>();
  for (const line of lines) {
    if (line.kind !== "patient") continue;
    for (const variable of VARIABLES) {
      const value = line.values[variable];
      if (!value) continue;
      if (values.has(variable)) return `The patient's \`${variable}\` is said twice: keep one of the two.`;
      values.set(variable, value);
    }
  }
  const measures = [...values].map(([variable, { value, unit }]) => [
    variable,
    { value: exactText(value), unit: unit.ucum },
  ]);
  return Object.fromEntries(measures);
}
