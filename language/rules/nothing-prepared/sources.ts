import type { Source } from "../engine/source.ts";

/** Who and what is there before the cuff goes up, as it is published; the texts do not agree. */
export const SOURCES: readonly Source[] = [
  {
    title: "Royal College of Emergency Medicine, Best Practice Guideline on Bier's block, November 2017",
    address:
      "https://vdocuments.site/the-royal-college-of-emergency-medicine-best-guidancebiersblockrevisednovintravenous.html",
    seen: "passage read",
    says: "two practitioners, one of them credentialed, present throughout; checklist; consent; double cuff; leak check; cuff times and pressures recorded; resuscitation equipment",
  },
  {
    title: "Emergency-medicine handbook, p. 488",
    address: "https://issuhub.com/view/index/4321?pageIndex=513",
    seen: "passage read",
    says: "two doctors (one with anaesthetic experience) and a nurse; a cannula in the block limb and one in another limb",
  },
  {
    title: "Royal Children's Hospital Melbourne, Bier block",
    address: "https://www.rch.org.au/clinicalguide/guideline_index/Bier_block/",
    seen: "passage read",
    says: "at least two staff; two cannulas",
  },
  {
    title: "Miller's Anesthesia, 6th edition, intravenous regional anaesthesia of the arm",
    address:
      "http://noranaes.org/logbook/resources/Ebooks/Miller1/Miller%20-%20Anesthesia%206th%20Ed/das/book/body/0/1255/1256.html",
    seen: "passage read",
    says: "a cannula in the block limb and one in another limb",
  },
  {
    title: "Sir Charles Gairdner Hospital Perth, emergency department guideline on Bier's block, 2019",
    address:
      "https://vdocuments.mx/bieras-block-charlieas-ed-guideline-2019-7-5-methaemoglobinaemia-ventricular.html",
    seen: "passage read",
    says: "a cannula in the block limb and one in another limb; no access in both is a contraindication",
  },
  {
    title: "Handbook chapter on the Bier block",
    address: "https://basicmedicalkey.com/bier-block",
    seen: "passage read",
    says: "cardiac monitor, pulse oximeter and blood pressure; a cannula in another limb",
  },
  {
    title: "emed.ie, Bier's block",
    address: "https://emed.ie/Analgesia/Block_Biers.php",
    seen: "passage read",
    says: "continuous monitoring is not routine: disagrees with the handbook chapter",
  },
  {
    title: "Blood pressure every 5 min",
    seen: "from memory",
    says: "general practice",
  },
  {
    title: "A lipid emulsion at hand, and the mark on the site",
    seen: "common practice, no source",
    says: "the guidelines read ask for resuscitation equipment and a checklist without naming these two",
  },
];
