import type { Source } from "../engine/source.ts";

const MILLER =
  "http://noranaes.org/logbook/resources/Ebooks/Miller1/Miller%20-%20Anesthesia%206th%20Ed/das/book/body/0/1255";

/** What is published on the shortest time to the release, also where it disagrees with the standard of the rule. */
export const sources: readonly Source[] = [
  {
    title: "Royal College of Emergency Medicine, best practice guideline, November 2017",
    address:
      "https://vdocuments.site/the-royal-college-of-emergency-medicine-best-guidancebiersblockrevisednovintravenous.html",
    seen: "passage read",
    says: "at least 20 min: the floor that local rules cannot cross",
  },
  {
    title: "Royal Children's Hospital Melbourne, children",
    address: "https://www.rch.org.au/clinicalguide/guideline_index/Bier_block/",
    seen: "passage read",
    says: "at least 20 min",
  },
  {
    title: "Miller's Anesthesia, 6th edition, paediatric chapter",
    address: `${MILLER}/1332.html`,
    seen: "passage read",
    says: "children: at least 20 min",
  },
  {
    title: "Miller's Anesthesia, 6th edition",
    address: `${MILLER}/1256.html`,
    seen: "passage read",
    says: "safely released after 25 min",
  },
  {
    title: "Tourniquets, as taught to perioperative nurses",
    address: "https://keywords.selfstudy.app/tourniquet-management/",
    seen: "passage read",
    says: "surgery over within 20 min of the injection: release in several steps, 2 min apart (disagrees)",
  },
  {
    title: "General teaching, local guides",
    seen: "from memory",
    says: "at least 15 min (disagrees), or 30 min",
  },
  {
    title: "Guay J, J Clin Anesth 2009;21:585, systematic review",
    address: "https://de.scribd.com/document/432404005/Guay-2009",
    seen: "abstract read",
    says: "a seizure after release at a cuff time of 60 min: no minimum is a guarantee",
  },
  { title: "30 min", seen: "common practice, no source", says: "the standard of this rule" },
];
