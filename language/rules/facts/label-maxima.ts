import type { Interval } from "@limbwright/shared/quantity";
import { type Agent, isAgent } from "../../model/index.ts";
import type { AgentContext } from "../engine/definition.ts";
import { isLipidEmulsion, isMethylthioninium, isPrilocaine } from "./drugs.ts";

/** The greatest amount that is published for a drug, as a parameter of `agent-maximum-above-label`, and whom it is for. */
export interface LabelMaximum {
  readonly parameter: string;
  readonly isOf: (agent: Agent) => boolean;
  readonly ages: "everybody" | "adults" | "children";
}

const isLidocaine = (agent: Agent): boolean => isAgent(agent, "lidocaine", "N01BB02");

export const LABEL_MAXIMA: readonly LabelMaximum[] = [
  { parameter: "lidocaine-per-weight", isOf: isLidocaine, ages: "adults" },
  { parameter: "lidocaine-per-weight-child", isOf: isLidocaine, ages: "children" },
  { parameter: "lidocaine", isOf: isLidocaine, ages: "everybody" },
  { parameter: "prilocaine-per-weight", isOf: isPrilocaine, ages: "everybody" },
  { parameter: "prilocaine", isOf: isPrilocaine, ages: "everybody" },
  { parameter: "lipid-emulsion-per-weight", isOf: isLipidEmulsion, ages: "everybody" },
  { parameter: "methylthioninium-per-weight", isOf: isMethylthioninium, ages: "everybody" },
];

/** The ages that a published maximum is for. */
export function agesOfLabel(
  { ages }: LabelMaximum,
  { parameter }: Pick<AgentContext, "parameter">,
): Interval {
  const edge = parameter("child-age").value;
  if (ages === "adults") return { lower: { value: edge, closed: true } };
  return ages === "children" ? { upper: { value: edge, closed: false } } : {};
}

/** Whether the rules know what is published as the most of a drug. */
export function hasPublishedMaximum(agent: Agent): boolean {
  return LABEL_MAXIMA.some(({ isOf }) => isOf(agent));
}
