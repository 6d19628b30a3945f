import type { Source } from "../engine/source.ts";
import {
  COLOUR_ATLAS,
  EMERGENCY_REFERENCE,
  HANDBOOK_CHAPTER,
  IN_THIS_ORDER,
  MILLER_ARM,
  MILLER_CHILDREN,
  PERIOPERATIVE_NURSING,
  RCEM_2017,
} from "../facts/cuff-order-sources.ts";

/** In which order the two cuffs are inflated: texts teach two. */
export const sources: readonly Source[] = [
  {
    ...MILLER_ARM,
    says: "the proximal cuff alone; for cuff pain the distal one up, then the proximal one released",
  },
  {
    ...COLOUR_ATLAS,
    says: "both cuffs tried one after the other, the limb emptied, then the proximal one alone",
  },
  { ...HANDBOOK_CHAPTER, says: IN_THIS_ORDER },
  { ...PERIOPERATIVE_NURSING, says: IN_THIS_ORDER },
  { ...RCEM_2017, says: "for cuff pain the distal cuff up and checked, then the proximal one down" },
  {
    ...EMERGENCY_REFERENCE,
    says: "the distal cuff about 10 min after the injection: so the proximal one alone first (the inference is ours)",
  },
  {
    ...MILLER_CHILDREN,
    says: "children: the distal cuff about 10 min after the injection: so the proximal one alone first (the inference is ours)",
  },
  {
    title: "General teaching, local guides",
    seen: "from memory",
    says: "both cuffs up and checked, then the distal one down: taught as well",
  },
];
