import { inBase } from "@limbwright/shared/quantity";
import type { Handler, Requirement, Step, WrittenQuantity } from "../../language/model/index.ts";

/** The times that rules judge by, in seconds. */
export interface Limits {
  readonly action: number;
  readonly cuffAction: number;
  readonly cuffTest: number;
  readonly cuffTestPause: number;
  readonly minimum: number;
  readonly occlusion: number;
  readonly swap: number;
  readonly flat: number;
  readonly recovery: number;
}

/** What a run breaks, and with how few decisions, and then how early. */
export interface Broken {
  readonly decisions: number;
  readonly at: number;
}

export function keyOf(
  rule: string,
  origin: { readonly start: { readonly offset: number } },
  about = "",
): string {
  return `${rule} at ${origin.start.offset}${about === "" ? "" : ` (${about})`}`;
}

/** A requirement is known by its place; a second place tells which step breaks it. */
export function requirementKey(requirement: Requirement | undefined, origin: Step["origin"]): string {
  return keyOf("requirement-broken", origin, `${requirement?.origin.start.offset}`);
}

export type Stage = Step & { readonly kind: "stage" };

/** What is to be done after the step in hand: a list that ends in `undefined`. */
export type Item =
  | { readonly kind: "step"; readonly step: Step }
  | { readonly kind: "end-of-stage"; readonly stage: Stage }
  | { readonly kind: "round"; readonly step: Step & { readonly kind: "repeat" }; readonly left: number }
  | { readonly kind: "go-on" }
  | { readonly kind: "end"; readonly origin: Step["origin"] };

export interface Todo {
  readonly item: Item;
  readonly next: Todo | undefined;
  readonly id: number;
}

export type Phase = "plan" | "handler" | "emergency";

/** The step in hand; `rest` is the end of a stage that is done before its time. */
export type InHand = Step | Item | undefined;

export interface State {
  inHand: InHand;
  elapsed: number;
  todo: Todo | undefined;
  /** What a handler interrupted. */
  interrupted:
    | { readonly inHand: InHand; readonly elapsed: number; readonly todo: Todo | undefined }
    | undefined;
  phase: Phase;
  /** Time since something was; absent before. */
  since: Record<string, number>;
  /** Facts and counts. */
  facts: Record<string, number>;
}

export interface Found {
  readonly key: string;
  readonly endsRun: boolean;
}

export interface Move {
  readonly state: State;
  readonly decisions: number;
  readonly seconds: number;
  readonly found: readonly Found[];
}

/** More than any time that the random protocols or the rules ask for. */
export const LONGEST_CLOCK = 14;

export function move(
  state: State,
  { decisions = 0, seconds = 0, found = [] }: Partial<Omit<Move, "state">> = {},
): Move {
  return { state, decisions, seconds, found };
}

export function copied(state: State): State {
  return { ...state, since: { ...state.since }, facts: { ...state.facts } };
}

export function isOnlyEmergency({ steps }: Handler): boolean {
  return steps.length === 1 && steps[0]?.kind === "go-to-emergency";
}

export function isUp(state: State, cuff: string): boolean {
  return (state.facts[`cuff ${cuff}`] ?? 0) > 0;
}

export function longestOf({ takes }: Stage): number | undefined {
  return takes?.longest?.valueOf();
}

export function shortestOf({ takes }: Stage): number {
  return takes?.shortest.valueOf() ?? 0;
}

export function secondsOf(quantity: WrittenQuantity): number {
  return inBase(quantity).valueOf();
}
