import type { Source } from "../engine/source.ts";

const MILLER =
  "http://noranaes.org/logbook/resources/Ebooks/Miller1/Miller%20-%20Anesthesia%206th%20Ed/das/book/body/0/1255";

/** What is published on the margin, also where it disagrees with the standard of the rule. */
export const sources: readonly Source[] = [
  {
    title: "Emergency-medicine handbook, p. 488",
    address: "https://issuhub.com/view/index/4321?pageIndex=513",
    seen: "passage read",
    says: "systolic + 100, never over 300 mmHg",
  },
  {
    title: "Anaesthesia textbook, chapter on the Bier block",
    address: "http://accessanesthesiology.mhmedical.com/content.aspx?bookid=1750&sectionid=117318719",
    seen: "passage read",
    says: "systolic + 50 to 100 mmHg, either cuff",
  },
  {
    title: "Emergency-medicine reference, Bier block",
    address:
      "https://www.barnardhealth.us/emergency-medicine/table-3213-contraindications-to-bier-block.html",
    seen: "passage read",
    says: "systolic + 50 to 100 mmHg",
  },
  {
    title: "Miller's Anesthesia, 6th edition",
    address: `${MILLER}/1256.html`,
    seen: "passage read",
    says: "arm: systolic + about 150 mmHg",
  },
  {
    title: "Miller's Anesthesia, 6th edition, paediatric chapter",
    address: `${MILLER}/1332.html`,
    seen: "passage read",
    says: "children: 2 to 3 times the systolic pressure",
  },
  {
    title: "Comparison of ropivacaine 0.2 % and lidocaine 0.5 %",
    address:
      "https://discovery.researcher.life/article/comparison-of-ropivacaine-0-2-and-lidocaine-0-5-for-intravenous-regional-anesthesia/887a4378cd9e3695a438b4f81c478647",
    seen: "abstract read",
    says: "250 mmHg for everybody: too small a margin over 150 mmHg by the standard of this rule",
  },
  {
    title: "British Orthopaedic Association standard (BOAST 2021), as an audit reports it",
    address:
      "https://www.citedrive.com/en/discovery/96-looped-prospective-audit-of-compliance-to-the-british-orthopaedics-association-standards-for-trauma-and-orthopaedics-boast-safe-use-of-intraoperative-tourniquets-in-upper-limb-surgery/",
    seen: "reported elsewhere",
    says: "arm: systolic + 50 to 100 mmHg; 36 % of the audited cases complied, all others were too high",
  },
  {
    title:
      "Kerr J, McEwen JA, re-analysis of 143 patients (their affiliation includes a company in this field)",
    address: "https://proceedings.cmbes.ca/index.php/proceedings/article/view/874",
    seen: "abstract read",
    says: "a rule by systolic would let blood through in 41 %, a formula by padding in 62 %, a fixed pressure in none, at 121 mmHg over the occlusion pressure on average",
  },
  {
    title: "Perioperative nursing, as taught from the AORN guideline",
    address: "https://keywords.selfstudy.app/tourniquet-management/",
    seen: "reported elsewhere",
    says: "limb occlusion pressure + 40 when under 130, + 60 when 131 to 190, + 80 when over 190 mmHg; children + 50",
  },
  {
    title:
      "French review of intravenous regional anaesthesia (citing list of doi 10.1111/j.1399-6576.1997.tb04667.x)",
    address: "https://referencecitationanalysis.com",
    seen: "abstract read",
    says: "limb occlusion pressure + 50 mmHg",
  },
  {
    title: "Tuncali B et al., Anesth Analg 2006;102:1752",
    address: "https://pubmed.ncbi.nlm.nih.gov/16717321/",
    seen: "abstract read",
    says: "occlusion pressure = (systolic + 10) / a coefficient of tissue padding; the table of coefficients was not found",
  },
  {
    title: "Tuncali B et al., Acta Orthop Traumatol Turc 2018;52:256",
    address: "http://aott.org.tr/article/view/3596/4329",
    seen: "abstract read",
    says: "knee surgery, 93 patients: 182.4 ± 14.6 mmHg by the formula, 200.7 ± 15.6 mmHg by the measured occlusion pressure",
  },
  {
    title: "Measured occlusion pressure of the arm, volunteers",
    address: "https://www.springermedizin.de/link?doi=10.1186/1475-925X-12-92",
    seen: "abstract read",
    says: "152.3 ± 16.7 mmHg",
  },
  {
    title: "Guay J, J Clin Anesth 2009;21:585, systematic review",
    address: "https://de.scribd.com/document/432404005/Guay-2009",
    seen: "abstract read",
    says: "toxicity with the cuff up happened at more than 150 mmHg over systolic: pressure alone is no proof that the limb is closed off",
  },
];
