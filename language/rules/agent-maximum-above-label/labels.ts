import { type Agent, isAgent } from "../../model/index.ts";
import type { Parameter } from "../engine/parameter.ts";
import { isLipidEmulsion, isMethylthioninium, isPrilocaine } from "../facts/known-agents.ts";
import type { SourceId } from "../sources/sources.ts";

/** The greatest amount that is published for a drug, as a parameter of this rule. */
export interface LabelMaximum {
  readonly isOf: (agent: Agent) => boolean;
  readonly parameter: Parameter;
  /** Whom it is for. */
  readonly ages: "everybody" | "adults" | "children";
}

/** Local rules may only tighten what a label says. */
function maximum(name: string, title: string, standard: string, unit: string, source: SourceId): Parameter {
  return { name, title, unit, standard, tighter: "lower", bound: standard, source };
}

const isLidocaine = (agent: Agent): boolean => isAgent(agent, "lidocaine", "N01BB02");

export const LABEL_MAXIMA: readonly LabelMaximum[] = [
  {
    isOf: isLidocaine,
    parameter: maximum(
      "lidocaine-per-weight",
      "Most lidocaine for an adult",
      "4",
      "mg/kg",
      "lidocaine-label",
    ),
    ages: "adults",
  },
  {
    isOf: isLidocaine,
    parameter: maximum(
      "lidocaine-per-weight-child",
      "Most lidocaine for a child",
      "3",
      "mg/kg",
      "lidocaine-label",
    ),
    ages: "children",
  },
  {
    isOf: isLidocaine,
    parameter: maximum("lidocaine", "Most lidocaine for anybody", "300", "mg", "lidocaine-dosages"),
    ages: "everybody",
  },
  {
    isOf: isPrilocaine,
    parameter: maximum("prilocaine-per-weight", "Most prilocaine by weight", "3", "mg/kg", "miller-block"),
    ages: "everybody",
  },
  {
    isOf: isPrilocaine,
    parameter: maximum("prilocaine", "Most prilocaine for anybody", "400", "mg", "clark-update"),
    ages: "everybody",
  },
  {
    isOf: isLipidEmulsion,
    parameter: maximum(
      "lipid-emulsion-per-weight",
      "Most lipid emulsion by weight",
      "12",
      "mL/kg",
      "theatre-card",
    ),
    ages: "everybody",
  },
  {
    isOf: isMethylthioninium,
    parameter: maximum(
      "methylthioninium-per-weight",
      "Most methylthioninium by weight",
      "7",
      "mg/kg",
      "methylthioninium-formulary",
    ),
    ages: "everybody",
  },
];
