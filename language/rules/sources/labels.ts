import type { Source } from "./source.ts";

/** Product labels, formularies and the index of drugs. */
export const LABELS = {
  "lidocaine-label": {
    title: "US product label, lidocaine hydrochloride injection",
    address: "https://prescriberpoint.com/therapies/lidocaine-hydrochloride-27b6ef5",
    seen: "passage read",
  },
  "lidocaine-dosages": {
    title: "US product label, lidocaine hydrochloride injection, table of recommended dosages",
    address: "https://www.pfizermedicalinformation.com/lidocaine-hydrochloride/dosage-admin",
    seen: "passage read",
  },
  "lidocaine-monograph": {
    title: "Product monograph, lidocaine hydrochloride injection",
    address: "https://www.mailmyprescriptions.com/lidocaine-5-ointment-5-generic-52565000855.html",
    seen: "passage read",
  },
  "lidocaine-elsewhere": {
    title: "A 2 % lidocaine product elsewhere",
    address: "https://lavinapharma.com/lidocaine.html",
    seen: "passage read",
  },
  "prilocaine-characteristics": {
    title: "UK summary of product characteristics, prilocaine 1 %",
    address: "https://www.medicines.org.uk/emc/product/870/smpc/print",
    seen: "passage read",
  },
  "prilocaine-formulary": {
    title: "UK formulary on prilocaine, a copy",
    address: "https://drugibank.com/Drug/Detail/Prilocaine-hydrochloride",
    seen: "passage read",
  },
  "prilocaine-dental-label": {
    title: "US product label, prilocaine 4 %, dental",
    seen: "from memory",
  },
  "bupivacaine-label": {
    title: "US product label, bupivacaine, section 4 (newer)",
    address: "https://drugcentral.org/label/4595c642-1869-436c-9550-8f9f255efd27/view",
    seen: "passage read",
  },
  "bupivacaine-label-other-maker": {
    title: "US product label, bupivacaine (newer, another maker)",
    address: "https://ndclist.com/ndc/80425-0350/label",
    seen: "passage read",
  },
  "bupivacaine-label-older": {
    title: "US product label, bupivacaine (older)",
    address: "https://drugcentral.org/label/496ccd9e-d1c3-4b5a-93b6-0c457faa1589/view",
    seen: "passage read",
  },
  "levobupivacaine-information": {
    title: "Product information, levobupivacaine",
    seen: "from memory",
  },
  "ropivacaine-label": {
    title: "US product label, ropivacaine (a monograph's copy)",
    seen: "from memory",
  },
  "methylthioninium-formulary": {
    title: "UK formulary on methylthioninium, as a page of medical notes reports it",
    address: "https://abcmedicalnotes.com/topics/2779.php",
    seen: "reported elsewhere",
  },
  "methylthioninium-label": {
    title: "US product label, methylthioninium, in a background text",
    address: "https://docslib.org/doc/12554517/methylene-blue-indications-background-methemoglobin-level",
    seen: "reported elsewhere",
  },
  "methylthioninium-background": {
    title: "Background text on methylthioninium and the level of methaemoglobin",
    address: "https://docslib.org/doc/12554517/methylene-blue-indications-background-methemoglobin-level",
    seen: "passage read",
  },
  "atc-amides": {
    title: "ATC index, N01BB amides",
    address: "https://rxreasoner.com/atccodes/N01BB",
    seen: "passage read",
  },
  "atc-chloroprocaine": {
    title: "Public lists of ATC codes, N01BA04",
    seen: "reported elsewhere",
  },
  "atc-opioids": {
    title: "ATC classes N02A and N01AH (opioids)",
    seen: "from memory",
  },
} satisfies Readonly<Record<string, Source>>;
