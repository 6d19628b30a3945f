import type { Source } from "../engine/source.ts";

/** When prilocaine causes methaemoglobinaemia, and what is given. */
export const SOURCES: readonly Source[] = [
  {
    title: "Miller's Anesthesia, 6th edition, local anaesthetics",
    address:
      "http://noranaes.org/logbook/resources/Ebooks/Miller1/Miller%20-%20Anesthesia%206th%20Ed/das/book/body/0/1255/498.html",
    seen: "passage read",
    says: "clinically significant methaemoglobinaemia from about 600 mg of prilocaine in adults",
  },
  {
    title: "OpenAnesthesia, local anesthetic methemoglobinemia",
    address: "https://www.openanesthesia.org/keywords/local_anesthetic_methemoglobinemia/",
    seen: "passage read",
    says: "clinically significant from about 600 mg of prilocaine in adults",
  },
  {
    title: "UK formulary on methylthioninium, as a page of medical notes reports it",
    address: "https://abcmedicalnotes.com/topics/2779.php",
    seen: "reported elsewhere",
    says: "1 to 2 mg/kg over 5 min, again after 30 to 60 min, at most 7 mg/kg a course",
  },
  {
    title: "UK summary of product characteristics, prilocaine 1 %",
    address: "https://www.medicines.org.uk/emc/product/870/smpc/print",
    seen: "passage read",
    says: "contraindicated in congenital or acquired methaemoglobinaemia and in anaemia; not under 6 months",
  },
  {
    title: "Prilocaine 5 mg/kg for intravenous regional anaesthesia, 58 patients",
    address: "https://scilit.net/publications/3cdcb8f1f441108e144cd526a6bc2d52",
    seen: "abstract read",
    says: "highest methaemoglobin 155 min after release, 1.02 g/100 mL on average, without cyanosis",
  },
];
