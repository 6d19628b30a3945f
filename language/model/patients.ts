import type { Origin } from "@limbwright/shared/finding";
import type { Variable } from "../population/expression.ts";
import type { WrittenRange } from "./written.ts";

/** Whom the protocol covers. */
export interface Patients {
  readonly origin: Origin;
  readonly bounds: Readonly<Partial<Record<Variable, WrittenRange>>>;
  readonly conditions: readonly PatientCondition[];
  /** Whether a line was not understood, so that absence proves nothing. */
  readonly incomplete: boolean;
  /** Whether that may be one of the bounds, so that nobody can say whom the protocol covers. */
  readonly boundsIncomplete: boolean;
}

/** The conditions that have a name of their own, from the published lists of contraindications. */
export const KNOWN_CONDITIONS = [
  "allergy",
  "sickle-cell",
  "vascular-disease",
  "hypertension",
  "methaemoglobinaemia",
  "raynaud",
  "scleroderma",
  "lymphoedema",
  "infection",
  "crush-injury",
  "open-fracture",
  "compartment-syndrome",
  "heart-block",
  "epilepsy",
  "liver-disease",
  "pregnancy",
  "lactation",
  "anticoagulants",
  "coagulopathy",
  "uncooperative",
  "obesity",
  "no-iv-access",
  "arterial-graft",
  "buerger-disease",
] as const;

export type KnownCondition = (typeof KNOWN_CONDITIONS)[number];

export interface PatientCondition {
  readonly decision: "contraindicated" | "caution" | "allowed";
  /** A known condition, or undefined for free text, which no rule judges. */
  readonly condition?: KnownCondition;
  readonly text?: string;
  readonly because?: string;
  readonly origin: Origin;
}
