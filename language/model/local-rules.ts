import type { Origin } from "@limbwright/shared/finding";
import type { WrittenQuantity } from "./written.ts";

/** The hospital's own values for rule parameters, the findings it accepts, and the published values it has found. */
export interface LocalRules {
  readonly name: string;
  readonly origin: Origin;
  readonly nameOrigin: Origin;
  readonly settings: readonly ParameterSetting[];
  readonly acceptances: readonly Acceptance[];
  readonly answers: readonly MaximumAnswer[];
}

/** What a workspace has to know of local rules: their acceptances and answers. Plain data. */
export interface DeclaredRules extends Pick<LocalRules, "name" | "origin"> {
  readonly acceptances: readonly Omit<Acceptance, "upTo">[];
  readonly answers: readonly Pick<MaximumAnswer, "agent" | "until" | "origin" | "agentOrigin">[];
}

/** `rule` is undefined for the action times, which belong to no rule. */
export interface ParameterSetting {
  readonly rule?: string;
  readonly parameter: string;
  readonly value:
    | { readonly kind: "quantity"; readonly quantity: WrittenQuantity }
    | { readonly kind: "word"; readonly word: string };
  readonly because?: string;
  readonly by?: string;
  readonly origin: Origin;
  readonly nameOrigin: Origin;
}

export interface Acceptance {
  readonly rule: string;
  readonly ruleOrigin: Origin;
  /** What alone it is for: the title of a requirement, a drug. Nothing unsafe is accepted without. */
  readonly subject?: string;
  /** The one protocol it is for; every protocol with these local rules when undefined. */
  readonly protocol?: string;
  readonly protocolOrigin?: Origin;
  /** The most up to which it covers what is over a limit; every other limit counts on. */
  readonly upTo?: WrittenQuantity;
  readonly because: string;
  readonly by: string;
  /** A second role, without which nothing unsafe is accepted. */
  readonly alsoBy?: string;
  /** The last day it holds, as YYYY-MM-DD. */
  readonly until: string;
  readonly origin: Origin;
}

/** The published maximum of a drug that the rules do not know, as the hospital has found it. */
export interface MaximumAnswer {
  /** The name of the drug in the formulary. */
  readonly agent: string;
  readonly agentOrigin: Origin;
  readonly limit: WrittenQuantity;
  /** Where the maximum is published. */
  readonly source: string;
  readonly because: string;
  readonly by: string;
  /** The last day it holds, as YYYY-MM-DD. */
  readonly until: string;
  readonly origin: Origin;
}
