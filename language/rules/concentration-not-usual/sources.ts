import type { Source } from "../engine/source.ts";

/** What is published on the concentration, also where it disagrees with the standard of the rule. */
export const sources: readonly Source[] = [
  {
    title: "Monograph, lidocaine",
    address: "https://www.mailmyprescriptions.com/lidocaine-5-ointment-5-generic-52565000855.html",
    seen: "passage read",
    says: "intravenous regional anaesthesia: only 0.5 %, without preservative and without adrenaline",
  },
  {
    title: "US product label, lidocaine hydrochloride injection",
    address: "https://prescriberpoint.com/therapies/lidocaine-hydrochloride-27b6ef5",
    seen: "passage read",
    says: "adults 0.5 % plain; children at most 3 mg/kg with 0.25 to 0.5 %",
  },
  {
    title: "Miller's Anesthesia, 6th edition, chapter on nerve blocks",
    address:
      "http://noranaes.org/logbook/resources/Ebooks/Miller1/Miller%20-%20Anesthesia%206th%20Ed/das/book/body/0/1255/486.html",
    seen: "passage read",
    says: "arm 40 mL of 0.5 %; leg 50 to 100 mL of 0.25 %",
  },
  {
    title: "Intravenous regional anaesthesia below the knee, volunteers",
    address: "https://scilit.net/publications/0b748c851e46fa478821ab1889a972c5",
    seen: "abstract read",
    says: "prilocaine 40 mL of 0.5 %, 20 mL of 1 %, 40 mL of 1 %: stronger than usual; 400 mg gave effects on the brain in 5 of 6",
  },
  {
    title: "Regional-anaesthesia atlas",
    address: "https://accessanesthesiology.mhmedical.com/content.aspx?bookid=518&sectionid=41534313",
    seen: "passage read",
    says: "12 to 15 mL of 2 % lidocaine: the rule finds this",
  },
  {
    title: "Trial of a forearm cuff",
    address: "https://paperexplained.cn/articles/paper/detail/bb1dda697c35a078c0a4d2743203ae97ab1fc7fa",
    seen: "abstract read",
    says: "lidocaine 0.5 % or ropivacaine 0.375 %",
  },
  {
    title: "Hartmannsgruber MW et al., Anesth Analg 1999; Chan VWS et al., Anesthesiology 1999;90:1602",
    address: "https://acnpsearch.tweb-dev.unibo.it/singlejournalindex/62259695",
    seen: "abstract read",
    says: "ropivacaine 0.2 %, volunteers only",
  },
  {
    title: "Marsch SC et al., Anesth Analg 2004",
    seen: "from memory",
    says: "chloroprocaine 0.5 % or 1 %, 40 mL",
  },
  {
    title: "Tucker GT, Boas RA, Anesthesiology 1971",
    address: "https://insights.ovid.com/crossref?an=00000542-197106000-00014",
    seen: "abstract read",
    says: "the peak in the blood after release is about 40 % lower with 0.5 % than with 1 %",
  },
];
