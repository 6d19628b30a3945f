import type { Source } from "../engine/source.ts";

const MILLER =
  "http://noranaes.org/logbook/resources/Ebooks/Miller1/Miller%20-%20Anesthesia%206th%20Ed/das/book/body/0/1255";

/** What is published on the longest occlusion, also where it disagrees with the standard of the rule. */
export const sources: readonly Source[] = [
  {
    title: "Royal College of Emergency Medicine, best practice guideline, November 2017",
    address:
      "https://vdocuments.site/the-royal-college-of-emergency-medicine-best-guidancebiersblockrevisednovintravenous.html",
    seen: "passage read",
    says: "forearm in an emergency department: at most 45 min (shorter)",
  },
  {
    title: "Clark N, Update in Anaesthesia 15",
    address: "https://www.scribd.com/document/591630849/Uia-15-Intravenous-Regional-Anaesthesia-Bier-s-Block",
    seen: "passage read",
    says: "operations of up to 40 min; cuff pain from 40 to 60 min (shorter)",
  },
  {
    title: "Royal Hobart Hospital, over 10 years",
    address: "https://docsbay.net/intranet-requirements-formatting-of-documents",
    seen: "passage read",
    says: "contraindicated for over 60 min: the standard of this rule",
  },
  {
    title: "Miller's Anesthesia, 6th edition",
    address: `${MILLER}/1256.html`,
    seen: "passage read",
    says: "operations under 90 min (longer)",
  },
  {
    title: "Miller's Anesthesia, 6th edition, paediatric chapter",
    address: `${MILLER}/1332.html`,
    seen: "passage read",
    says: "children: at most 90 min (longer)",
  },
  {
    title: "Perioperative course, tourniquets for surgery",
    address: "https://perioperative1002.slc-courses.ca/?p=624",
    seen: "passage read",
    says: "arm at most 1 h, thigh at most 2 h",
  },
  {
    title: "Tourniquets, as taught to perioperative nurses",
    address: "https://keywords.selfstudy.app/tourniquet-management/",
    seen: "passage read",
    says: "surgery: arm 1.5 h, leg 2 h, children 1 h",
  },
  {
    title: "Tourniquets in foot and ankle surgery, review",
    address:
      "https://hmpgloballearningnetwork.com/site/podiatry/current-insights-and-recommendations-tourniquet-use-foot-and-ankle-surgery-part-3-recommendations",
    seen: "passage read",
    says: "at most 120 min",
  },
];
