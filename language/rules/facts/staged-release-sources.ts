import type { Source } from "../engine/source.ts";

/** What is published on letting the cuff down in stages, also where it disagrees. */
export const STAGED_RELEASE_SOURCES: readonly Source[] = [
  {
    title: "Anesth Analg 1989;68:633 (Sukhani et al., author from memory)",
    address: "https://www.ncbi.nlm.nih.gov/pubmed/2719294",
    seen: "abstract read",
    says: "three times 10 s down and 1 min up, after 30 min: the peak in the blood is later, not significantly lower",
  },
  {
    title: "Ann Clin Res 1979, 25 patients, 40 mL of 0.5 %",
    address: "https://metajournal.com/articles/journal/6844/ann-clin-res/1979/8",
    seen: "abstract read",
    says: "5 s or 30 s in between: no lower level than with one release (disagrees)",
  },
  {
    title: "General teaching, local guides",
    seen: "from memory",
    says: "between 20 and 40 min deflate, inflate again at once, wait 1 min, deflate; after 40 min once",
  },
];
