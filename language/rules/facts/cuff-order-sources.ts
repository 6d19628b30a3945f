import type { Source } from "../engine/source.ts";

type Text = Omit<Source, "says">;

/** What three texts teach together. */
export const IN_THIS_ORDER =
  "the limb emptied by elevation for 1 to 3 min or by a bandage, the proximal cuff up, the bandage off, the injection";

/** Texts that teach in which order the cuffs, the bandage and the injection come; each rule quotes its own part. */
export const MILLER_ARM: Text = {
  title: "Miller's Anesthesia, 6th edition, intravenous regional block",
  address:
    "http://noranaes.org/logbook/resources/Ebooks/Miller1/Miller%20-%20Anesthesia%206th%20Ed/das/book/body/0/1255/1256.html",
  seen: "passage read",
};

export const MILLER_CHILDREN: Text = {
  title: "Miller's Anesthesia, 6th edition, paediatric chapter",
  address:
    "http://noranaes.org/logbook/resources/Ebooks/Miller1/Miller%20-%20Anesthesia%206th%20Ed/das/book/body/0/1255/1332.html",
  seen: "passage read",
};

export const COLOUR_ATLAS: Text = {
  title: "Peripheral Nerve Blocks: A Color Atlas, 3rd edition, chapter 21",
  address: "https://doctorlib.info/neurology/peripheral/22.html",
  seen: "passage read",
};

export const PRACTICAL_PROCEDURES: Text = {
  title: "Emergency-medicine handbook, practical procedures, p. 488",
  address: "https://issuhub.com/view/index/4321?pageIndex=513",
  seen: "passage read",
};

export const HANDBOOK_CHAPTER: Text = {
  title: "Handbook chapter on intravenous regional anaesthesia",
  address: "http://accessanesthesiology.mhmedical.com/content.aspx?bookid=1750&sectionid=117318719",
  seen: "passage read",
};

export const PERIOPERATIVE_NURSING: Text = {
  title: "Tourniquets, as taught to perioperative nurses",
  address: "https://keywords.selfstudy.app/tourniquet-management/",
  seen: "passage read",
};

export const RCEM_2017: Text = {
  title: "Royal College of Emergency Medicine, Best Practice Guideline on Bier's block, November 2017",
  address:
    "https://vdocuments.site/the-royal-college-of-emergency-medicine-best-guidancebiersblockrevisednovintravenous.html",
  seen: "passage read",
};

export const EMERGENCY_REFERENCE: Text = {
  title: "Emergency-medicine reference, Bier block",
  address: "https://www.barnardhealth.us/emergency-medicine/table-3213-contraindications-to-bier-block.html",
  seen: "passage read",
};

export const TOURNIQUET_HAZARDS: Text = {
  title: "Pneumatic tourniquets used for regional anesthesia, hazard report, Health Devices 1982;12(2):48",
  address: "http://www.mdsr.ecri.org/summary/detail.aspx?doc_id=8080",
  seen: "passage read",
};

export const GUAY_2009: Text = {
  title: "Guay J, J Clin Anesth 2009;21:585, systematic review",
  address: "https://de.scribd.com/document/432404005/Guay-2009",
  seen: "abstract read",
};
