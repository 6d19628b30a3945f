import type { Origin } from "@limbwright/shared/finding";
import type { Agent } from "./agent.ts";
import type { CuffSet } from "./cuffs.ts";
import type { Dose } from "./dose.ts";
import type { LocalRules } from "./local-rules.ts";
import type { Patients } from "./patients.ts";
import type { Preparation } from "./prepare.ts";
import type { Requirement } from "./requirement.ts";
import type { Handler, Step } from "./step.ts";
import type { Timer } from "./timer.ts";
import type { Written } from "./written.ts";

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
  readonly emergencies: readonly Emergency[];
  readonly requirements: readonly Requirement[];
  /** Every agent in scope, used or not. */
  readonly agents: readonly Agent[];
  /** Events the hospital declares, in scope. */
  readonly declaredEvents: readonly DeclaredEvent[];
  /** Whether text, a step or a handler of this protocol was not understood, so that absence proves nothing. */
  readonly incomplete: boolean;
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
