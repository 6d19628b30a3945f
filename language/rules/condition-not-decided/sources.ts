import type { Source } from "../engine/source.ts";

/** Published lists of contraindications; the page has them side by side. */
export const SOURCES: readonly Source[] = [
  {
    title: "NHS Tayside, Bier's block procedure",
    address:
      "https://rightdecisions.scot.nhs.uk/nhs-tayside-ed-guidance/trauma-and-orthopaedics/biers-block/biers-block-procedure",
    seen: "passage read",
    says: "allergy; systolic over 200 mmHg; infection of the limb; lymphoedema; methaemoglobinaemia; morbid obesity; peripheral vascular disease; both arms; Raynaud; scleroderma; sickle cell disease or trait; children case by case",
  },
  {
    title: "Royal Children's Hospital Melbourne, Bier block",
    address: "https://www.rch.org.au/clinicalguide/guideline_index/Bier_block/",
    seen: "passage read",
    says: "allergy; open fracture; reconsider at a systolic over 175 mmHg; severe crush; poor circulation; sickle cell disease",
  },
  {
    title: "Sir Charles Gairdner Hospital Perth, emergency department guideline on Bier's block, 2019",
    address:
      "https://vdocuments.mx/bieras-block-charlieas-ed-guideline-2019-7-5-methaemoglobinaemia-ventricular.html",
    seen: "passage read",
    says: "absolute: allergy, methaemoglobinaemia, systolic over 220 mmHg, compartment syndrome, uncooperative, no access in both; relative: coagulopathy, conduction defect, vascular disease, sickle cell, epilepsy, infection, under 10 years, pregnancy, lactation, anticoagulants",
  },
  {
    title: "Royal Hobart Hospital, emergency department",
    address: "https://docsbay.net/intranet-requirements-formatting-of-documents",
    seen: "passage read",
    says: "uncooperative; under 10 years; unstable epilepsy; uncontrolled hypertension; severe liver disease; second or third degree block; sickle cell; open fracture; injury at the cuff site; over 60 min; no resuscitation equipment",
  },
  {
    title: "Emergency-medicine handbook, p. 488",
    address: "https://issuhub.com/view/index/4321?pageIndex=513",
    seen: "passage read",
    says: "systolic over 200 mmHg; homozygous sickle cell disease; crush only relative",
  },
  {
    title: "emed.ie, Bier's block",
    address: "https://emed.ie/Analgesia/Block_Biers.php",
    seen: "passage read",
    says: "absolute only: allergy and uncontrolled hypertension; sickle cell theoretical",
  },
  {
    title: "AORN, guideline update on pneumatic tourniquet safety, 2020",
    address:
      "https://www.aorn.org/about-aorn/aorn-newsroom/periop-today-newsletter/2021/2021-articles/guideline-update-pneumatic-tourniquet-safety",
    seen: "passage read",
    says: "tourniquet: vascular disease, arterial graft, thigh over 100 cm",
  },
  {
    title: "UK summary of product characteristics, prilocaine 1 %",
    address: "https://www.medicines.org.uk/emc/product/870/smpc/print",
    seen: "passage read",
    says: "prilocaine is contraindicated in congenital or acquired methaemoglobinaemia and in anaemia",
  },
];
