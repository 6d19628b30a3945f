import type { Dose } from "../model/index.ts";
import type { AmountDifference, Directions } from "./amounts.ts";
import type { ChangeKind } from "./change.ts";
import { type FoundChange, kindOf } from "./side.ts";

type WithAgent = Pick<Dose, "agent">;

export function aboutDose({ name }: Pick<Dose, "name">): string {
  return `dose \`${name}\``;
}

/** A rescue drug helps: more of it and less of it are both for a person to judge. */
export function isRescue({ agent }: WithAgent): boolean {
  return agent?.kind?.value === "rescue";
}

/** What would be looser or tighter of another drug is for a person to judge of a rescue drug. */
export function asForRescue(dose: WithAgent, found: FoundChange): FoundChange {
  return isRescue(dose) ? { ...found, kind: "different", isOfFirstNumber: true } : found;
}

/** More of any other drug is looser. */
export function directionsFor(dose: WithAgent, unit: string): Directions {
  return {
    unit,
    more: "more",
    less: "less",
    moreIs: isRescue(dose) ? "different" : "looser",
    lessIs: isRescue(dose) ? "different" : "tighter",
  };
}

export function kindFor(dose: WithAgent, { more, less, limit }: AmountDifference): ChangeKind {
  if (isRescue(dose) || (limit !== undefined && !more)) return "different";
  return kindOf(more !== undefined, less !== undefined);
}
