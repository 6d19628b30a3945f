import type { Parameter } from "./parameter.ts";

/**
 * Values that belong to no single rule. Local rules set them by their bare name: `set action-time 45 s`.
 */
export const GENERAL_PARAMETERS: readonly Parameter[] = [
  {
    name: "action-time",
    title: "The longest time an action of the team takes when the protocol does not say",
    unit: "s",
    standard: "60",
    source: "common-practice",
  },
  {
    name: "cuff-action-time",
    title: "The longest time of inflating, deflating or confirming a cuff when the protocol does not say",
    unit: "s",
    standard: "15",
    source: "common-practice",
  },
  {
    name: "child-age",
    title: "The age under which a patient is judged as a child",
    unit: "years",
    standard: "16",
    tighter: "higher",
    source: "common-practice",
  },
];
