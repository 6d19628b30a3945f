import type { Origin } from "@limbwright/shared/finding";
import type { Variable } from "../population/expression.ts";
import type { Action, Moment } from "./protocol.ts";
import type { WrittenQuantity } from "./written.ts";

/** A worked case with what is expected of the protocol. */
export interface Scenario {
  readonly title: string;
  readonly protocol: string;
  readonly origin: Origin;
  readonly lines: readonly ScenarioLine[];
}

export type ScenarioLine = { readonly origin: Origin } & (
  | { readonly kind: "patient"; readonly values: Readonly<Partial<Record<Variable, WrittenQuantity>>> }
  | { readonly kind: "run-to"; readonly moment: Moment }
  | { readonly kind: "happens"; readonly after?: WrittenQuantity; readonly happening: ScenarioHappening }
  | { readonly kind: "expect"; readonly after?: WrittenQuantity; readonly expectation: ScenarioExpectation }
);

export type ScenarioHappening =
  | { readonly kind: "task-ends"; readonly text: string }
  | { readonly kind: "event"; readonly event: string; readonly cuff?: string }
  | { readonly kind: "answer"; readonly question: string; readonly yes: boolean };

export type ScenarioExpectation =
  | { readonly kind: "allowed"; readonly action: Action }
  | { readonly kind: "refused"; readonly action: Action; readonly rule: string }
  | { readonly kind: "due"; readonly action: Action; readonly at: WrittenQuantity }
  | { readonly kind: "dose"; readonly dose: string; readonly value: WrittenQuantity }
  | { readonly kind: "pressure"; readonly value: WrittenQuantity };
