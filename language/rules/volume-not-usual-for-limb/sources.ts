import type { Source } from "../engine/source.ts";

const MILLER =
  "http://noranaes.org/logbook/resources/Ebooks/Miller1/Miller%20-%20Anesthesia%206th%20Ed/das/book/body/0/1255";

/** What is published on the volume, also where it disagrees with the standard of the rule. */
export const sources: readonly Source[] = [
  {
    title: "General teaching in handbooks",
    seen: "from memory",
    says: "forearm 20 to 25, arm 40 to 50, calf 40 to 50, thigh 100 mL",
  },
  {
    title: "US product label, lidocaine hydrochloride injection, table of recommended dosages",
    address: "https://www.pfizermedicalinformation.com/lidocaine-hydrochloride/dosage-admin",
    seen: "passage read",
    says: "10 to 60 mL of 0.5 %",
  },
  {
    title: "Miller's Anesthesia, 6th edition, chapter on nerve blocks",
    address: `${MILLER}/486.html`,
    seen: "passage read",
    says: "arm 40 mL of 0.5 %; leg 50 to 100 mL of 0.25 %",
  },
  {
    title: "Miller's Anesthesia, 6th edition, paediatric chapter",
    address: `${MILLER}/1332.html`,
    seen: "passage read",
    says: "children: 0.6 mL/kg of 0.5 %",
  },
  {
    title: "Clark N, Update in Anaesthesia 15, Intravenous regional anaesthesia",
    address: "https://www.scribd.com/document/591630849/Uia-15-Intravenous-Regional-Anaesthesia-Bier-s-Block",
    seen: "passage read",
    says: "prilocaine 0.5 %: arm 40 mL, leg 60 mL; its greatest dose, 400 mg, is 80 mL",
  },
  {
    title: "Comparison of low doses of lidocaine behind a forearm cuff",
    address: "https://www.sciencerepository.org/comparison-of-low-doses-of-lidocaine_ACR-2024-1-101",
    seen: "abstract read",
    says: "forearm 25 mL or 15 mL of 0.5 %",
  },
  {
    title: "Trial of a forearm cuff, lidocaine 0.5 % or ropivacaine 0.375 %",
    address: "https://paperexplained.cn/articles/paper/detail/bb1dda697c35a078c0a4d2743203ae97ab1fc7fa",
    seen: "abstract read",
    says: "forearm 0.4 mL/kg up to 25 mL",
  },
  {
    title: "Intravenous regional anaesthesia below the knee, volunteers",
    address: "https://scilit.net/publications/0b748c851e46fa478821ab1889a972c5",
    seen: "abstract read",
    says: "calf 40 mL of 0.5 %, 20 mL or 40 mL of 1 %",
  },
  {
    title: "Regional-anaesthesia atlas",
    address: "https://accessanesthesiology.mhmedical.com/content.aspx?bookid=518&sectionid=41534313",
    seen: "passage read",
    says: "12 to 15 mL of 2 % lidocaine: less than half of the usual volume, which the rule finds",
  },
  {
    title: "Handbook chapter on the Bier block",
    address: "https://basicmedicalkey.com/bier-block",
    seen: "passage read",
    says: "arm 1 mL/kg of 0.5 %, leg 2 mL/kg of 0.25 %: more than the usual volume for most adults, which the rule finds",
  },
];
