import type { Rule } from "../engine/definition.ts";

/** Reported while the text is read. */
export const rule: Rule = {
  id: "unit-mismatch",
  title: "Every quantity is of the kind its place takes",
  group: "numbers",
  severity: "error",
  why: "A volume where a mass is meant cannot be compared with anything.",
  sources: [
    {
      source: "lidocaine-dosages",
      says: "10 to 60 mL of 0.5 % are 50 to 300 mg, so 0.5 % is 5 mg/mL and 1 % is 10 mg/mL: a percentage is weight in volume",
    },
    {
      source: "common-practice",
      says: "only quantities of one kind are compared: a volume has a mass by its concentration, and nothing else changes kind",
    },
  ],
};
