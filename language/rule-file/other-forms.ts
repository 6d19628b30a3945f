import type { RunLine } from "@limbwright/shared/finding";
import type { AmountRow, RateRow } from "@limbwright/shared/rule-file";
import type {
  Adjuvant,
  AmountNode,
  CuffChoice,
  CuffSet,
  Dose,
  Duration,
  Maximum,
  PatientCondition,
  Patients,
} from "../model/index.ts";

/** The parts for which the model has a form of its own. */
export interface OtherForms {
  readonly Adjuvant: Adjuvant;
  readonly AmountRow: AmountRow;
  readonly Condition: PatientCondition;
  readonly CuffChoice: CuffChoice;
  /** A cuff's name: its label stands where it is declared. */
  readonly CuffReference: string;
  readonly Cuffs: WholeCuffs;
  readonly Dose: Dose;
  readonly Duration: Duration;
  readonly Formula: AmountNode;
  readonly FormulaOcclusion: Extract<AmountNode, { kind: "occlusion-pressure" }>;
  readonly FormulaShare: Extract<AmountNode, { kind: "share" }>;
  readonly Maximum: Maximum;
  readonly Patients: Patients;
  readonly RateRow: RateRow;
  /** Not every line of a run has a place. */
  readonly RunLine: RunLine;
}

export type WholeCuffs = CuffSet & Required<Pick<CuffSet, "place">>;
