import { HAZARDS } from "../generated/hazards.ts";

/** One entry of the hazard log, as `hazards.yaml` states it: what can hurt the patient, and what is left beside the rules. */
export interface Hazard {
  readonly id: string;
  readonly title: string;
  readonly causes: readonly string[];
  /** On the patient. */
  readonly effect: string;
  /** A rule that guards against it, whose page has the flawed example that shows it. */
  readonly shownBy: string;
  /** Flawed drafts of the example hospital that show it, too. */
  readonly drafts: readonly string[];
  /** What only a person can judge. */
  readonly people: readonly string[];
  /** What nothing guards against. */
  readonly unguarded: readonly string[];
  /** What completes "No rule judges whether …" in the report of a check. */
  readonly inShort?: string;
}

export type HazardId = (typeof HAZARDS)[number]["id"];

/** The hazard log, in its order. */
export const hazards: readonly Hazard[] = HAZARDS;

/** What no rule judges of any protocol, in one sentence without its full stop. */
export function leftToPeople(): string {
  const all = hazards.flatMap(({ inShort }) => (inShort === undefined ? [] : [inShort]));
  return `No rule judges whether ${all.slice(0, -1).join("; ")}; or whether ${all.at(-1)}`;
}
