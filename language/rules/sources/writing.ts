import type { Source } from "./source.ts";

/** How numbers, units and versions are written. */
export const WRITING = {
  "error-prone-list": {
    title: "Institute for Safe Medication Practices, error-prone dose designations, in a report of the list",
    address:
      "http://www.pulmonologyadvisor.com/clinical-charts/error-prone-dose-designations/article/661735/",
    seen: "passage read",
  },
  "error-prone-list-again": {
    title:
      "Institute for Safe Medication Practices, error-prone dose designations, in another report of the list (drug calculations, digital practices)",
    address: "http://www.studywithclpna.com/drugcalculations/digital/practices.htm",
    seen: "passage read",
  },
  "error-prone-remembered": {
    title: "Institute for Safe Medication Practices, error-prone abbreviations",
    seen: "from memory",
  },
  "iso-26825": {
    title: "ISO 26825:2020, user-applied labels for syringes, in an extract",
    address:
      "https://tnlab.org/en/iso-268252020-user-applied-labels-for-anaesthetic-syringes-colour-coding-design-and-performance-requirements/",
    seen: "reported elsewhere",
  },
  ucum: {
    title: "The Unified Code for Units of Measure, asked with a published library",
    address: "https://ucum.org/ucum",
    seen: "passage read",
  },
  "semantic-versioning": {
    title: "Semantic Versioning 2.0.0",
    address: "https://semver.org",
    seen: "from memory",
  },
} satisfies Readonly<Record<string, Source>>;
