import type { Source } from "../engine/source.ts";

export const sources: readonly Source[] = [
  {
    title: "US product label, lidocaine hydrochloride injection",
    address: "https://prescriberpoint.com/therapies/lidocaine-hydrochloride-27b6ef5",
    seen: "passage read",
    says: "intravenous regional anaesthesia: at most 4 mg/kg in adults, 3 mg/kg in children",
  },
  {
    title: "US product label, lidocaine hydrochloride injection, table of recommended dosages",
    address: "https://www.pfizermedicalinformation.com/lidocaine-hydrochloride/dosage-admin",
    seen: "passage read",
    says: "intravenous regional anaesthesia: 10 to 60 mL of 0.5 %, 50 to 300 mg",
  },
  {
    title: "Miller's Anesthesia, 6th edition, nerve blocks",
    address:
      "http://noranaes.org/logbook/resources/Ebooks/Miller1/Miller%20-%20Anesthesia%206th%20Ed/das/book/body/0/1255/1256.html",
    seen: "passage read",
    says: "3 mg/kg of 0.5 % lidocaine or prilocaine for an arm",
  },
  {
    title: "Clark N, Update in Anaesthesia 15",
    address: "https://www.scribd.com/document/591630849/Uia-15-Intravenous-Regional-Anaesthesia-Bier-s-Block",
    seen: "passage read",
    says: "prilocaine 40 mL of 0.5 % for an arm, 60 mL for a leg, at most 400 mg",
  },
  {
    title: "UK summary of product characteristics, prilocaine 1 %",
    address: "https://www.medicines.org.uk/emc/product/870/smpc/print",
    seen: "passage read",
    says: "prilocaine at most 400 mg in adults, 5 mg/kg in children over 6 months (other blocks)",
  },
  {
    title: "UK theatre emergency card, local anaesthetic toxicity",
    address:
      "https://rightdecisions.scot.nhs.uk/sjh-theatres-and-anaesthetics/anaesthetic-emergencies/3-10-local-anaesthetic-toxicity",
    seen: "passage read",
    says: "lipid emulsion 20 %: at most 12 mL/kg",
  },
  {
    title: "UK formulary copy, methylthioninium chloride",
    address: "https://abcmedicalnotes.com/topics/2779.php",
    seen: "reported elsewhere",
    says: "methylthioninium: at most 7 mg/kg a course",
  },
];
