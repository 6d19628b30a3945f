import type { Source } from "./source.ts";

/** Trials, volunteer studies and reviews. */
export const STUDIES = {
  "guay-2009": {
    title:
      "Guay J, Adverse events associated with intravenous regional anesthesia, J Clin Anesth 2009;21:585, systematic review",
    address: "https://de.scribd.com/document/432404005/Guay-2009",
    seen: "abstract read",
  },
  "choyce-peng-2002": {
    title:
      "A systematic review of adjuncts for intravenous regional anesthesia for surgical procedures, 29 studies (Choyce A, Peng P, Can J Anaesth 2002; authors and journal from memory)",
    address: "https://doi.org/10.1007/BF03020416",
    seen: "abstract read",
  },
  "elramely-2016": {
    title:
      "Elramely M, Elmoutaz H, Nalbuphine versus dexmedetomidine as an analgesic additive, Pain Studies and Treatment 2016;4(3)",
    address: "http://www.scirp.org/html/2-1160058_69195.htm",
    seen: "abstract read",
  },
  "harris-1965": {
    title: "Harris WH, Slater EM, Bell HM, JAMA 1965;194:1273",
    address: "https://jamanetwork.com/journals/jama/article-abstract/657355",
    seen: "abstract read",
  },
  "marsch-2004": {
    title: "Marsch SC et al., Anesth Analg 2004",
    seen: "from memory",
  },
  "hartmannsgruber-1999": {
    title:
      "Hartmannsgruber MW et al., Ropivacaine 0.2 % and lidocaine 0.5 % for intravenous regional anaesthesia, Anesth Analg 1999, volunteers",
    address: "https://acnpsearch.tweb-dev.unibo.it/singlejournalindex/62259695",
    seen: "abstract read",
  },
  "chan-1999": {
    title: "Chan VWS et al., Anesthesiology 1999;90:1602, volunteers",
    address: "https://acnpsearch.tweb-dev.unibo.it/singlejournalindex/62259695",
    seen: "abstract read",
  },
  "ropivacaine-volunteers-1999": {
    title: "Hartmannsgruber MW et al., Anesth Analg 1999; Chan VWS et al., Anesthesiology 1999;90:1602",
    address: "https://acnpsearch.tweb-dev.unibo.it/singlejournalindex/62259695",
    seen: "abstract read",
  },
  "ropivacaine-comparison": {
    title: "Comparison of ropivacaine 0.2 % and lidocaine 0.5 % for intravenous regional anaesthesia",
    address:
      "https://discovery.researcher.life/article/comparison-of-ropivacaine-0-2-and-lidocaine-0-5-for-intravenous-regional-anesthesia/887a4378cd9e3695a438b4f81c478647",
    seen: "abstract read",
  },
  "below-the-knee": {
    title: "Intravenous regional anaesthesia below the knee, volunteers",
    address: "https://scilit.net/publications/0b748c851e46fa478821ab1889a972c5",
    seen: "abstract read",
  },
  "forearm-trial": {
    title: "Trial of a forearm cuff, lidocaine 0.5 % or ropivacaine 0.375 %",
    address: "https://paperexplained.cn/articles/paper/detail/bb1dda697c35a078c0a4d2743203ae97ab1fc7fa",
    seen: "abstract read",
  },
  "forearm-low-doses": {
    title: "Comparison of low doses of lidocaine behind a forearm cuff",
    address: "https://www.sciencerepository.org/comparison-of-low-doses-of-lidocaine_ACR-2024-1-101",
    seen: "abstract read",
  },
  "forearm-and-upper-arm": {
    title: "Caspian Journal of Surgery, single cuffs on the forearm and the upper arm compared, 60 patients",
    address: "https://www.caspjs.com/article_730112.html",
    seen: "abstract read",
  },
  "davidson-2002": {
    title: "Davidson AJ et al., Paediatr Anaesth 2002;12:146",
    address: "https://zendy.io/title/10.1046/j.1460-9592.2002.00772.x",
    seen: "abstract read",
  },
  "colizza-1993": {
    title: "Colizza WA, Said E, Can J Surg 1993;36:225",
    address: "https://suppr.wilddata.cn/browses/detail/pubmed/8324666",
    seen: "abstract read",
  },
  "schurg-1990": {
    title: "Schürg R et al., Reg Anaesth 1990;13:118",
    address: "https://suppr.wilddata.cn/browses/detail/pubmed/2389069",
    seen: "abstract read",
  },
  "haghighi-2018": {
    title: "Haghighi M et al., Arch Bone Jt Surg 2018;6:63, 80 patients",
    address:
      "https://fdocuments.net/document/a-comparison-between-single-and-double-tourniquet-abjsmumsacirarticle1007677a5def9e6d312e103f.html",
    seen: "abstract read",
  },
  "hoffmann-1995": {
    title: "Hoffmann AC et al., Br J Anaesth 1995;75:269",
    address: "https://acnpsearch.tweb-dev.unibo.it/singlejournalindex/30391145",
    seen: "abstract read",
  },
  "tucker-boas-1971": {
    title: "Tucker GT, Boas RA, Anesthesiology 1971",
    address: "https://insights.ovid.com/crossref?an=00000542-197106000-00014",
    seen: "abstract read",
  },
  "sukhani-1989": {
    title: "Anesth Analg 1989;68:633 (Sukhani et al., author from memory)",
    address: "https://www.ncbi.nlm.nih.gov/pubmed/2719294",
    seen: "abstract read",
  },
  "ann-clin-res-1979": {
    title: "Ann Clin Res 1979, 25 patients, 40 mL of 0.5 %",
    address: "https://metajournal.com/articles/journal/6844/ann-clin-res/1979/8",
    seen: "abstract read",
  },
  "simon-1997": {
    title: "Simon MAM et al., Reg Anesth 1997;22:29, and J Clin Pharm Ther 1997;22:141",
    address: "https://acnpsearch.tweb-dev.unibo.it/singlejournalindex/2933945",
    seen: "abstract read",
  },
  "prilocaine-58-patients": {
    title: "Prilocaine 5 mg/kg for intravenous regional anaesthesia, 58 patients",
    address: "https://scilit.net/publications/3cdcb8f1f441108e144cd526a6bc2d52",
    seen: "abstract read",
  },
  "prilocaine-16-patients": {
    title: "Prilocaine 2.5 mg/kg, 16 patients of an emergency department (its title was not shown)",
    address: "https://scite.ai/authors/neil-berlinski-Nnw22P?page=2",
    seen: "abstract read",
  },
  "kerr-mcewen": {
    title:
      "Kerr J, McEwen JA, re-analysis of 143 patients (their affiliation includes a company in this field)",
    address: "https://proceedings.cmbes.ca/index.php/proceedings/article/view/874",
    seen: "abstract read",
  },
  "french-review": {
    title:
      "French review of intravenous regional anaesthesia (citing list of doi 10.1111/j.1399-6576.1997.tb04667.x)",
    address: "https://referencecitationanalysis.com",
    seen: "abstract read",
  },
  "tuncali-2006": {
    title: "Tuncali B et al., Anesth Analg 2006;102:1752",
    address: "https://pubmed.ncbi.nlm.nih.gov/16717321/",
    seen: "abstract read",
  },
  "tuncali-2018": {
    title: "Tuncali B et al., Acta Orthop Traumatol Turc 2018;52:256",
    address: "http://aott.org.tr/article/view/3596/4329",
    seen: "abstract read",
  },
  "arm-occlusion-pressure": {
    title: "Measured occlusion pressure of the arm, volunteers",
    address: "https://www.springermedizin.de/link?doi=10.1186/1475-925X-12-92",
    seen: "abstract read",
  },
  tredwell: {
    title:
      "Tredwell et al., children, as a weak secondary page reports it (the page was not kept; confirm it)",
    seen: "from memory",
  },
  "foot-and-ankle-review": {
    title: "Tourniquets in foot and ankle surgery, review",
    address:
      "https://hmpgloballearningnetwork.com/site/podiatry/current-insights-and-recommendations-tourniquet-use-foot-and-ankle-surgery-part-3-recommendations",
    seen: "passage read",
  },
} satisfies Readonly<Record<string, Source>>;
