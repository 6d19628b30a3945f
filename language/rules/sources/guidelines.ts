import type { Source } from "./source.ts";

/** Guidelines, standards, checklists and reports of hazards. */
export const GUIDELINES = {
  "rcem-2017": {
    title: "Royal College of Emergency Medicine, Best Practice Guideline on Bier's block, November 2017",
    address:
      "https://vdocuments.site/the-royal-college-of-emergency-medicine-best-guidancebiersblockrevisednovintravenous.html",
    seen: "passage read",
  },
  tayside: {
    title: "NHS Tayside, Bier's block procedure",
    address:
      "https://rightdecisions.scot.nhs.uk/nhs-tayside-ed-guidance/trauma-and-orthopaedics/biers-block/biers-block-procedure",
    seen: "passage read",
  },
  "melbourne-children": {
    title: "Royal Children's Hospital Melbourne, Bier block",
    address: "https://www.rch.org.au/clinicalguide/guideline_index/Bier_block/",
    seen: "passage read",
  },
  "melbourne-children-older": {
    title: "Royal Children's Hospital Melbourne, Bier block, older version",
    address: "https://www.rch.org.au/clinicalguide/guideline_index/Biers_block/",
    seen: "passage read",
  },
  "perth-2019": {
    title: "Sir Charles Gairdner Hospital Perth, emergency department guideline on Bier's block, 2019",
    address:
      "https://vdocuments.mx/bieras-block-charlieas-ed-guideline-2019-7-5-methaemoglobinaemia-ventricular.html",
    seen: "passage read",
  },
  hobart: {
    title: "Royal Hobart Hospital, emergency department",
    address: "https://docsbay.net/intranet-requirements-formatting-of-documents",
    seen: "passage read",
  },
  "emed-ie": {
    title: "emed.ie, Bier's block",
    address: "https://emed.ie/Analgesia/Block_Biers.php",
    seen: "passage read",
  },
  "aorn-2020": {
    title: "AORN, guideline update on pneumatic tourniquet safety, 2020, as its newsletter tells it",
    address:
      "https://www.aorn.org/about-aorn/aorn-newsroom/periop-today-newsletter/2021/2021-articles/guideline-update-pneumatic-tourniquet-safety",
    seen: "passage read",
  },
  "aorn-taught": {
    title: "AORN guideline, as taught to perioperative nurses",
    address: "https://keywords.selfstudy.app/tourniquet-management/",
    seen: "reported elsewhere",
  },
  "boast-2021": {
    title: "British Orthopaedic Association standard (BOAST 2021)",
    address: "https://boa.ac.uk/resources/boast-the-safe-use-of-intraoperative-tourniquets.html",
    seen: "passage read",
  },
  "boast-2021-audit": {
    title: "British Orthopaedic Association standard (BOAST 2021), as an audit reports it",
    address:
      "https://www.citedrive.com/en/discovery/96-looped-prospective-audit-of-compliance-to-the-british-orthopaedics-association-standards-for-trauma-and-orthopaedics-boast-safe-use-of-intraoperative-tourniquets-in-upper-limb-surgery/",
    seen: "reported elsewhere",
  },
  "tourniquet-hazards": {
    title: "Pneumatic tourniquets used for regional anesthesia, hazard report, Health Devices 1982;12(2):48",
    address: "http://www.mdsr.ecri.org/summary/detail.aspx?doc_id=8080",
    seen: "passage read",
  },
  "theatre-card": {
    title: "UK theatre emergency card, local anaesthetic toxicity",
    address:
      "https://rightdecisions.scot.nhs.uk/sjh-theatres-and-anaesthetics/anaesthetic-emergencies/3-10-local-anaesthetic-toxicity",
    seen: "passage read",
  },
  "toxicity-card-2007": {
    title: "Older UK card on local anaesthetic toxicity, 2007",
    address: "https://id.scribd.com/document/44822364/La-Toxicity-07",
    seen: "passage read",
  },
  "aagbi-toxicity": {
    title: "AAGBI safety guideline, management of severe local anaesthetic toxicity",
    address: "https://studylib.net/doc/13405092/1-aagbi-safety-guideline-management-of-severe-local-anaes...",
    seen: "passage read",
  },
  "asra-2020": {
    title:
      "Neal JM, Neal EJ, Weinberg GL, American Society of Regional Anesthesia and Pain Medicine checklist, 2020",
    address: "https://rapm.bmj.com/content/early/2020/11/30/rapm-2020-101986.full.txt",
    seen: "reported elsewhere",
  },
  "asra-2020-reported": {
    title:
      "American Society of Regional Anesthesia and Pain Medicine checklist 2020, as a reference text reports it",
    address:
      "https://www.staging.medscape.com/answers/1844551-62878/what-is-the-recommended-dosing-regimen-for-lipid-emulsion-therapy-for-local-anesthetic-toxicity",
    seen: "reported elsewhere",
  },
  "asra-2020-remembered": {
    title: "American Society of Regional Anesthesia and Pain Medicine checklist 2020, as it is remembered",
    seen: "from memory",
  },
  "antidote-handbook": {
    title: "Australian antidote handbook, lipid emulsion",
    address: "http://livoed.com.au/staff/handbooks-guides/antidotes/lipid-emulsion-intralipid/",
    seen: "passage read",
  },
} satisfies Readonly<Record<string, Source>>;
