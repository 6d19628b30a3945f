import type { Origin } from "@limbwright/shared/finding";
import type { Variable } from "../population/expression.ts";
import type { Agent } from "./agent.ts";
import type { Amount } from "./amount.ts";
import type { Dose } from "./dose.ts";
import type { LocalRules } from "./local-rules.ts";
import type { CuffChoice, Handler, Step, TaskTopic } from "./step.ts";
import type { Written, WrittenQuantity, WrittenRange } from "./written.ts";

export type Status =
  | { readonly kind: "draft" | "in-review" | "retired" }
  | { readonly kind: "approved"; readonly by: string; readonly on: string };

/**
 * A protocol with every name resolved and every unit checked. Parts that are missing or could not be
 * understood are undefined or left out; the problems of the reading say so, and what depends on them is
 * not decided.
 */
export interface Protocol {
  readonly name: string;
  readonly title?: string;
  readonly origin: Origin;
  readonly nameOrigin: Origin;
  readonly version?: Written<string>;
  readonly hospital?: Written<string>;
  readonly owner?: Written<string>;
  readonly status?: Written<Status>;
  /** YYYY-MM-DD. */
  readonly reviewBy?: Written<string>;
  readonly localRules?: LocalRules;
  readonly indications: readonly Written<string>[];
  readonly patients?: Patients;
  readonly cuffs?: CuffSet;
  /** The protocol's own doses and those of its emergencies, in the order of the text. */
  readonly doses: readonly Dose[];
  readonly timers: readonly Timer[];
  readonly preparation?: Preparation;
  /** Undefined where there is no `steps` section at all. */
  readonly steps?: readonly Step[];
  readonly throughout: readonly Handler[];
  /** Where a `throughout` stands in which nothing is written yet, with its braces. */
  readonly emptyThroughout?: Origin;
  readonly emergencies: readonly Emergency[];
  readonly requirements: readonly Requirement[];
  /** Every agent in scope, used or not. */
  readonly agents: readonly Agent[];
  /** Events the hospital declares, in scope. */
  readonly declaredEvents: readonly DeclaredEvent[];
  /** Whether text, a step or a handler of this protocol was not understood, so that absence proves nothing. */
  readonly incomplete: boolean;
}

/** The sections that are a text alone, in the author's words, by the part that holds them: printed, and judged by no rule. */
const TEXT_SECTIONS: Readonly<Record<TextSection, string>> = { indications: "indication" };

/** The parts of a protocol that are texts. The head of the document has a meaning of its own. */
type TextSection = Exclude<
  {
    [Part in keyof Protocol]-?: Protocol[Part] extends
      | Written<string>
      | readonly Written<string>[]
      | undefined
      ? Part
      : never;
  }[keyof Protocol],
  "version" | "hospital" | "owner" | "reviewBy"
>;

/** What its sections say that are a text alone, each with the word that it stands behind. */
export function sectionTexts(protocol: Protocol): (Written<string> & { readonly word: string })[] {
  return (Object.keys(TEXT_SECTIONS) as TextSection[]).flatMap((part) =>
    [protocol[part] ?? []].flat().map((text) => ({ word: TEXT_SECTIONS[part], ...text })),
  );
}

export interface Emergency {
  readonly name: string;
  readonly title?: string;
  readonly origin: Origin;
  readonly nameOrigin: Origin;
  readonly steps: readonly Step[];
}

export interface DeclaredEvent {
  readonly name: string;
  readonly title?: string;
  readonly origin: Origin;
}

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

export const PLACES = ["upper-arm", "forearm", "thigh", "calf", "ankle"] as const;

/** Where on the limb a cuff sits. */
export type CuffPlace = (typeof PLACES)[number];

export interface Cuff {
  readonly name: string;
  /** What is written on the tubing or the cuff; printed wherever the cuff is named. */
  readonly label?: string;
  readonly origin: Origin;
}

/** One or two cuffs, proximal first, with the pressure they are inflated to. */
export interface CuffSet {
  readonly origin: Origin;
  readonly cuffs: readonly Cuff[];
  readonly place?: Written<CuffPlace>;
  /** The target pressure, mmHg, as a function of the patient. */
  readonly pressure?: Amount;
  readonly ceiling?: WrittenQuantity;
  /** The limb circumferences the cuff fits, cm. */
  readonly fits?: WrittenRange;
  /** Occlusion pressure by circumference, from the hospital's own table. */
  readonly occlusion?: Amount;
}

/** A moment of the run that a timer or a requirement counts from. `target` is a dose or a stage. */
export type Moment =
  | {
      readonly kind: "start" | "end";
      readonly target: string;
      readonly targetKind: "dose" | "stage";
      readonly origin: Origin;
    }
  | { readonly kind: "first-inflation"; readonly origin: Origin }
  | { readonly kind: "release"; readonly origin: Origin };

/** A clock with what the author claims of it: `atLeast` at the release, `atMost` at the last deflation. */
export interface Timer {
  readonly name: string;
  readonly origin: Origin;
  readonly nameOrigin: Origin;
  readonly from?: Moment;
  readonly atLeast?: WrittenQuantity;
  readonly atMost?: WrittenQuantity;
}

export const MONITORS = ["ecg", "spo2", "nibp"] as const;

export type Monitor = (typeof MONITORS)[number];

/** How much of a drug lies ready: a mass or a volume. */
export interface AmountAtHand {
  /** Undefined where its name is unknown. */
  readonly agent?: Agent;
  readonly amount: WrittenQuantity;
}

/** What has to be in place before the first step. */
export type PrepareItem =
  | { readonly kind: "iv-access"; readonly place: "other-limb" | "same-limb"; readonly origin: Origin }
  | {
      readonly kind: "monitoring";
      readonly monitors: readonly Monitor[];
      readonly every?: WrittenQuantity;
      readonly origin: Origin;
    }
  | {
      readonly kind: "at-hand";
      readonly agents: readonly Agent[];
      /** How much of them, where that is said; undefined where it is said of none. */
      readonly amounts?: readonly AmountAtHand[];
      readonly texts: readonly string[];
      readonly origin: Origin;
    }
  | { readonly kind: "staff"; readonly count: number; readonly origin: Origin }
  | { readonly kind: "site-marked"; readonly origin: Origin }
  | { readonly kind: "text"; readonly text: string; readonly origin: Origin };

export interface Preparation {
  readonly origin: Origin;
  readonly items: readonly PrepareItem[];
  /** Whether part of an item was not understood, so that absence proves nothing. */
  readonly incomplete: boolean;
}

/** A property of the hospital's own, to hold on every run. */
export interface Requirement {
  readonly title: string;
  readonly origin: Origin;
  readonly property: Property;
}

export type Property =
  | { readonly kind: "never"; readonly condition: StateCondition }
  | { readonly kind: "only-when"; readonly action: Action; readonly condition: StateCondition }
  | { readonly kind: "only-after"; readonly action: Action; readonly earlier: Action }
  | {
      readonly kind: "within";
      readonly action: Action;
      readonly limit: WrittenQuantity;
      readonly earlier: Action;
    };

/** A step without its details, as requirements and scenarios name it. */
export type Action =
  | { readonly kind: "apply-cuffs" | "insert-cannula" | "remove-cannula" | "remove-bandage" | "exsanguinate" }
  | { readonly kind: "inflate" | "confirm"; readonly cuffs: CuffChoice }
  | {
      readonly kind: "deflate";
      readonly cuffs: CuffChoice;
      readonly flatFor?: WrittenQuantity;
      readonly forEmergency?: true;
    }
  | { readonly kind: "inject" | "give"; readonly dose: string }
  | { readonly kind: "task"; readonly topic?: TaskTopic; readonly text?: string };

/** `least` and `most` contain the limit, `under` and `over` do not. */
export type Comparison = "under" | "over" | "least" | "most";

export type StateCondition =
  | { readonly kind: "or" | "and"; readonly left: StateCondition; readonly right: StateCondition }
  | { readonly kind: "not"; readonly of: StateCondition }
  | { readonly kind: "cuff"; readonly cuffs: CuffChoice; readonly state: "up" | "flat" | "confirmed" }
  | { readonly kind: "bandage"; readonly on: boolean }
  | { readonly kind: "cannula"; readonly in: boolean }
  | { readonly kind: "drug-in-limb" }
  | { readonly kind: "occluded" }
  | {
      readonly kind: "since";
      readonly moment: Moment;
      readonly comparison: Comparison;
      readonly limit: WrittenQuantity;
    }
  | {
      readonly kind: "timer";
      readonly timer: string;
      readonly comparison: Comparison;
      readonly limit: WrittenQuantity;
    };
