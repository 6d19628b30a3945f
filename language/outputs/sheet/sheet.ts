import type { LinePlace } from "@limbwright/shared/finding";
import type { DoseCurve, RunPicture } from "@limbwright/shared/pictures";
import type { MassUnit } from "../table/mass-unit.ts";

/** A bedside sheet as plain texts, in the order in which they are printed. Nothing in it is markup. */
export interface Sheet {
  readonly head: SheetHead;
  /** Printed across every page: "Draft – not for use", "Review overdue"; empty for an approved protocol in date. */
  readonly marks: readonly string[];
  readonly indications: readonly string[];
  /** Whom the protocol covers: "age 16 to 85 years". */
  readonly patients: readonly string[];
  readonly contraindicated: readonly string[];
  readonly cautions: readonly string[];
  readonly cuffs: SheetCuffs;
  readonly prepare: readonly string[];
  readonly checklist: readonly SheetItem[];
  /** What is done whenever something happens, from the first inflation to the end of recovery. */
  readonly throughout: readonly SheetItem[];
  /** What is left to do after the recovery: what the patient is told. */
  readonly discharge: readonly SheetItem[];
  readonly times: SheetTimes;
  /** The runs with the earliest and the latest release; none where that is not decided. */
  readonly runs: readonly RunPicture[];
  readonly curves: readonly DoseCurve[];
  readonly doses: readonly SheetTable[];
  readonly pressures: readonly SheetTable[];
  readonly emergencies: readonly SheetEmergency[];
  readonly standing: SheetStanding;
  /** How to read between the rows of the tables. */
  readonly betweenRows: string;
  readonly caution: string;
}

export interface SheetHead {
  readonly name: string;
  readonly title: string;
  readonly hospital?: string;
  readonly owner?: string;
  readonly version: string;
  /** "Approved by Drugs and therapeutics committee on 2026-09-14", "Draft". */
  readonly status: string;
  readonly reviewBy?: string;
  /** The digest of what the protocol means, "sha256:…". */
  readonly meaning: string;
  readonly place: LinePlace;
}

export interface SheetCuffs {
  /** "proximal (grey)", the proximal one first. */
  readonly labels: readonly string[];
  /** "upper arm". */
  readonly on: string;
  readonly ceiling?: string;
  /** The limb circumferences they fit. */
  readonly fits?: string;
}

/**
 * A line of the checklist. `do` has a box to tick; `group` is a stage, a question or something repeated, `when` what may
 * happen meanwhile, `answer` one of two ways: these three hold what belongs to them.
 */
export interface SheetItem {
  readonly kind: "do" | "group" | "when" | "answer";
  readonly text: string;
  /** How long it takes or may take. */
  readonly time?: string;
  readonly notes: readonly string[];
  /** What is written down there, each with the unit that follows the blank. */
  readonly blanks: readonly SheetBlank[];
  readonly items: readonly SheetItem[];
  readonly place: LinePlace;
}

export type SheetBlank = "clock" | "mL" | MassUnit | "mmHg";

export interface SheetTimes {
  /** What is written down first: the moments that bounds count from, "first cuff up" before all. */
  readonly moments: readonly string[];
  readonly bounds: readonly SheetBound[];
  /** How often the plan lets all cuffs down, the last time included. */
  readonly deflations: number;
  readonly hasSwap: boolean;
  /** How often blood pressure is measured: "5 min". */
  readonly pressureEvery?: string;
  /** "Over all runs: release …", or that it is not decided. */
  readonly overAllRuns: string;
}

/** A clock time to be worked out at the bedside: a moment and what is added to it. */
export interface SheetBound {
  readonly what: "earliest release" | "latest release" | "at the latest";
  /** What is done then, where it is not the release: "end stage". */
  readonly step?: string;
  /** "end of local". */
  readonly from: string;
  /** "30 min". */
  readonly plus: string;
}

export interface SheetTable {
  readonly caption: string;
  /** What is so for every row. */
  readonly facts: readonly string[];
  readonly headings: readonly string[];
  readonly rows: readonly SheetRow[];
  readonly place: LinePlace;
}

export interface SheetRow {
  readonly cells: readonly string[];
  /** Whether a cap holds the dose down. */
  readonly isCapped: boolean;
  /** Whether it is over the agent's maximum. */
  readonly isOver: boolean;
}

export interface SheetEmergency {
  readonly title: string;
  readonly items: readonly SheetItem[];
  readonly tables: readonly SheetTable[];
  readonly place: LinePlace;
}

/** What was found about the protocol, and what nobody knows. */
export interface SheetStanding {
  readonly findings: readonly SheetFinding[];
  readonly holding: number;
  /** Each rule that holds by what local rules answer, with who says so: no proof. */
  readonly answered: readonly { readonly rule: string; readonly by: string }[];
  /** Each rule that is not decided, with the reason: never a pass. */
  readonly notDecided: readonly { readonly rule: string; readonly limit: string }[];
  /** How many texts no rule judges. */
  readonly notJudged: number;
}

export interface SheetFinding {
  readonly severity: string;
  readonly rule: string;
  readonly what: string;
  /** "by Pharmacy until 2027-01-31: Box ends at 66 kg". */
  readonly accepted?: string;
}
