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
      title: "US product label, lidocaine hydrochloride injection, table of recommended dosages",
      address: "https://www.pfizermedicalinformation.com/lidocaine-hydrochloride/dosage-admin",
      seen: "passage read",
      says: "10 to 60 mL of 0.5 % are 50 to 300 mg: a percentage is weight in volume",
    },
    {
      title: "Only quantities of one kind are compared",
      seen: "common practice, no source",
      says: "a volume has a mass by its concentration, and nothing else changes kind",
    },
  ],
};
