import type { Citation } from "./sources.ts";

const ORDER =
  "the limb emptied by elevation for 1 to 3 min or by a bandage, the proximal cuff up, the bandage off, the injection";

/** What three texts teach together: in which order the cuffs, the bandage and the injection come. */
export const TAUGHT_ORDER: readonly Citation[] = [
  { source: "anaesthesia-handbook", says: ORDER },
  { source: "perioperative-nurses", says: ORDER },
  { source: "rcem-2017", says: ORDER },
];

/** What is published on letting the cuff down in stages, also where it disagrees. */
export const STAGED_RELEASE: readonly Citation[] = [
  {
    source: "sukhani-1989",
    says: "three times 10 s down and 1 min up, after 30 min: the peak in the blood is later, not significantly lower; 10 s was preferred",
  },
  {
    source: "general-teaching",
    says: "between 20 and 40 min deflate, inflate again at once, wait 1 min, deflate; after 40 min once",
  },
  {
    source: "ann-clin-res-1979",
    says: "5 s or 30 s in between: no lower level than with one release; the peak did not go by the time of the cuff",
    disagrees: true,
  },
];

/** What the list of error-prone ways to write a dose says, in both reports of it. */
export function inErrorProneList(says: string): readonly Citation[] {
  return [
    { source: "error-prone-list", says },
    { source: "error-prone-list-again", says },
  ];
}
