import type { Source } from "../engine/source.ts";

/** What is published on ceilings, also where it disagrees with the standard of the rule. */
export const sources: readonly Source[] = [
  {
    title: "Emergency-medicine handbook, p. 488",
    address: "https://issuhub.com/view/index/4321?pageIndex=513",
    seen: "passage read",
    says: "arm: systolic + 100, never over 300 mmHg",
  },
  {
    title: "Perioperative course, tourniquets",
    address: "https://perioperative1002.slc-courses.ca/?p=624",
    seen: "passage read",
    says: "at most 250 to 300 mmHg on an arm or lower leg, 300 to 350 mmHg on a thigh: the standard takes the upper ends",
  },
  {
    title: "Schürg R et al., Reg Anaesth 1990;13:118",
    address: "https://suppr.wilddata.cn/browses/detail/pubmed/2389069",
    seen: "abstract read",
    says: "foot surgery, about 500 patients: ankle cuff at 350 mmHg",
  },
  {
    title: "Intravenous regional anaesthesia below the knee, volunteers",
    address: "https://scilit.net/publications/0b748c851e46fa478821ab1889a972c5",
    seen: "abstract read",
    says: "300 mmHg",
  },
  {
    title: "Comparison of ropivacaine 0.2 % and lidocaine 0.5 %",
    address:
      "https://discovery.researcher.life/article/comparison-of-ropivacaine-0-2-and-lidocaine-0-5-for-intravenous-regional-anesthesia/887a4378cd9e3695a438b4f81c478647",
    seen: "abstract read",
    says: "250 mmHg for everybody",
  },
  {
    title: "Tredwell et al., children, as a weak secondary page reports it",
    seen: "from memory",
    says: "measured occlusion pressure + 50: arm 173.4 ± 11.6 (155 to 190), leg 176.7 ± 28.7 (140 to 250) mmHg",
  },
  {
    title: "Miller's Anesthesia, 6th edition, paediatric chapter",
    address:
      "http://noranaes.org/logbook/resources/Ebooks/Miller1/Miller%20-%20Anesthesia%206th%20Ed/das/book/body/0/1255/1332.html",
    seen: "passage read",
    says: "children: 2 to 3 times the systolic pressure, which is not measured: the rule reports it as doubtful",
  },
  {
    title: "Children judged by adult values under 16 years",
    seen: "common practice, no source",
    says: "the age is a parameter, `child-age`",
  },
];
