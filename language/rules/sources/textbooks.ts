import type { Source } from "./source.ts";

/** Textbooks and handbooks, and what is taught without one. */
export const TEXTBOOKS = {
  "miller-block": {
    title: "Miller's Anesthesia, 6th edition, intravenous regional block",
    address:
      "http://noranaes.org/logbook/resources/Ebooks/Miller1/Miller%20-%20Anesthesia%206th%20Ed/das/book/body/0/1255/1256.html",
    seen: "passage read",
  },
  "miller-children": {
    title: "Miller's Anesthesia, 6th edition, paediatric chapter",
    address:
      "http://noranaes.org/logbook/resources/Ebooks/Miller1/Miller%20-%20Anesthesia%206th%20Ed/das/book/body/0/1255/1332.html",
    seen: "passage read",
  },
  "miller-nerve-blocks": {
    title: "Miller's Anesthesia, 6th edition, chapter on nerve blocks",
    address:
      "http://noranaes.org/logbook/resources/Ebooks/Miller1/Miller%20-%20Anesthesia%206th%20Ed/das/book/body/0/1255/486.html",
    seen: "passage read",
  },
  "miller-local-anaesthetics": {
    title: "Miller's Anesthesia, 6th edition, local anaesthetics",
    address:
      "http://noranaes.org/logbook/resources/Ebooks/Miller1/Miller%20-%20Anesthesia%206th%20Ed/das/book/body/0/1255/498.html",
    seen: "passage read",
  },
  "colour-atlas": {
    title: "Peripheral Nerve Blocks: A Color Atlas, 3rd edition, chapter 21",
    address: "https://doctorlib.info/neurology/peripheral/22.html",
    seen: "passage read",
  },
  "regional-atlas": {
    title: "Regional-anaesthesia atlas",
    address: "https://accessanesthesiology.mhmedical.com/content.aspx?bookid=518&sectionid=41534313",
    seen: "passage read",
  },
  "anaesthesia-handbook": {
    title: "Handbook chapter on intravenous regional anaesthesia",
    address: "http://accessanesthesiology.mhmedical.com/content.aspx?bookid=1750&sectionid=117318719",
    seen: "passage read",
  },
  "bier-block-chapter": {
    title: "Handbook chapter on the Bier block",
    address: "https://basicmedicalkey.com/bier-block",
    seen: "passage read",
  },
  "emergency-handbook": {
    title: "Emergency-medicine handbook, practical procedures, p. 488",
    address: "https://issuhub.com/view/index/4321?pageIndex=513",
    seen: "passage read",
  },
  "emergency-reference": {
    title: "Emergency-medicine reference, Bier block",
    address:
      "https://www.barnardhealth.us/emergency-medicine/table-3213-contraindications-to-bier-block.html",
    seen: "passage read",
  },
  "clark-update": {
    title: "Clark N, Update in Anaesthesia 15, Intravenous regional anaesthesia",
    address: "https://www.scribd.com/document/591630849/Uia-15-Intravenous-Regional-Anaesthesia-Bier-s-Block",
    seen: "passage read",
  },
  "abc-procedures": {
    title: "ABC of Practical Procedures",
    address: "http://pocayo.com/Tutorial/topic-208/ABC-of-Practical-Procedures-25.html",
    seen: "passage read",
  },
  "poisoning-and-overdose": {
    title: "Poisoning & Drug Overdose, table II-2",
    address: "https://aneskey.com/anesthetics-local",
    seen: "passage read",
  },
  openanesthesia: {
    title: "OpenAnesthesia, local anesthetic methemoglobinemia",
    address: "https://www.openanesthesia.org/keywords/local_anesthetic_methemoglobinemia/",
    seen: "passage read",
  },
  "perioperative-course": {
    title: "Perioperative course, tourniquets for surgery",
    address: "https://perioperative1002.slc-courses.ca/?p=624",
    seen: "passage read",
  },
  "perioperative-nurses": {
    title: "Tourniquets, as taught to perioperative nurses",
    address: "https://keywords.selfstudy.app/tourniquet-management/",
    seen: "passage read",
  },
  "general-teaching": {
    title: "General teaching, local guides",
    seen: "from memory",
  },
  "handbooks-together": {
    title: "General teaching in handbooks",
    seen: "from memory",
  },
  "general-practice": {
    title: "General practice",
    seen: "from memory",
  },
} satisfies Readonly<Record<string, Source>>;
