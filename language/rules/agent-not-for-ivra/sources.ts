import type { Source } from "../engine/source.ts";

export const sources: readonly Source[] = [
  {
    title: "US product label, bupivacaine, section 4 (newer)",
    address: "https://drugcentral.org/label/4595c642-1869-436c-9550-8f9f255efd27/view",
    seen: "passage read",
    says: "contraindicated for intravenous regional anaesthesia; warning 5.7 tells of cardiac arrest with that use",
  },
  {
    title: "US product label, bupivacaine (newer, another maker)",
    address: "https://ndclist.com/ndc/80425-0350/label",
    seen: "passage read",
    says: "the same contraindication",
  },
  {
    title: "US product label, bupivacaine (older)",
    address: "https://drugcentral.org/label/496ccd9e-d1c3-4b5a-93b6-0c457faa1589/view",
    seen: "passage read",
    says: "not recommended for intravenous regional anaesthesia",
  },
  {
    title: "Emergency-medicine handbook, contraindications to the block",
    address:
      "https://www.barnardhealth.us/emergency-medicine/table-3213-contraindications-to-bier-block.html",
    seen: "passage read",
    says: "bupivacaine is absolutely contraindicated",
  },
  {
    title: "Guay J, J Clin Anesth 2009;21:585",
    address: "https://de.scribd.com/document/432404005/Guay-2009",
    seen: "abstract read",
    says: "lowest dose with an arrest: lidocaine 2.5 mg/kg, bupivacaine 1.6 mg/kg",
  },
  {
    title: "Product information, levobupivacaine",
    seen: "from memory",
    says: "contraindicated for intravenous regional anaesthesia",
  },
  {
    title: "US product label, ropivacaine (a monograph's copy)",
    seen: "from memory",
    says: "do not use for intravenous regional anaesthesia: insufficient data",
  },
  {
    title: "Hartmannsgruber MW et al., Anesth Analg 1999; Chan VWS et al., Anesthesiology 1999;90:1602",
    address: "https://acnpsearch.tweb-dev.unibo.it/singlejournalindex/62259695",
    seen: "abstract read",
    says: "ropivacaine 0.2 %, 40 mL, and 1.2 and 1.8 mg/kg, in volunteers only: trials exist against the label",
  },
  {
    title: "Harris WH, Slater EM, Bell HM, JAMA 1965;194:1273",
    address: "https://jamanetwork.com/journals/jama/article-abstract/657355",
    seen: "abstract read",
    says: "chloroprocaine, an old preparation: thrombophlebitis in 4 of 51",
  },
  {
    title: "Marsch SC et al., Anesth Analg 2004",
    seen: "from memory",
    says: "chloroprocaine 0.5 or 1 %, 40 mL: later trials exist",
  },
  {
    title: "Comparison of ropivacaine 0.2 % and lidocaine 0.5 % for intravenous regional anaesthesia",
    address:
      "https://discovery.researcher.life/article/comparison-of-ropivacaine-0-2-and-lidocaine-0-5-for-intravenous-regional-anesthesia/887a4378cd9e3695a438b4f81c478647",
    seen: "abstract read",
    says: "lidocaine is called the only agent that the US regulator approved for it (a statement of the 1990s)",
  },
  {
    title: "ATC index, N01BB amides",
    address: "https://rxreasoner.com/atccodes/N01BB",
    seen: "passage read",
    says: "bupivacaine N01BB01, lidocaine N01BB02, prilocaine N01BB04, ropivacaine N01BB09, levobupivacaine N01BB10",
  },
];
