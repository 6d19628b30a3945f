import { inBase } from "@limbwright/shared/quantity";
import { type Handler, type Protocol, type Step, stepsReached } from "../../model/index.ts";
import { momentName } from "../../runs/index.ts";
import { latestEnds } from "../facts/latest-ends.ts";
import { givesAnaesthesia, operates, rolesThatOperate } from "../facts/roles.ts";
import { type WayPlace, waysOfAnswer } from "../facts/ways.ts";

/** A `when … reaches …`. */
export type Reaching = Extract<Handler, { readonly kind: "reaches" }>;

/** A `when … reaches …` in which somebody may decide on another anaesthetic. */
export interface Decision {
  readonly handler: Reaching;
  /** What its timer shows when the decision is made at the latest, as far as that is written, in seconds. */
  readonly madeAt: number;
  readonly flaw: DecisionFlaw | undefined;
}

/** Why a decision is none, however early it is made. */
export type DecisionFlaw =
  | { readonly kind: "nobodys" }
  | { readonly kind: "by-operator"; readonly role: string }
  | { readonly kind: "on-some-ways" };

/**
 * The decisions that some handlers ask for. An event may never happen, so what is asked there is no decision in good time. What takes
 * no longer than an action (`seconds`) is made as soon as it is asked.
 */
export function decisionsIn(handlers: readonly Handler[], protocol: Protocol, action: number): Decision[] {
  const operators = rolesThatOperate(protocol);
  return handlers.flatMap((handler) => {
    if (handler.kind !== "reaches") return [];
    const asked = [...stepsReached(handler.steps)].filter(isDecision);
    if (asked.length === 0) return [];
    const first = waysOfAnswer(protocol, handler);
    const ends = latestEnds([first], protocol);
    const later = Math.max(...asked.map((step) => ends.get(step) ?? 0));
    const madeAt = inBase(handler.limit).valueOf() + (later > action ? later : 0);
    return [{ handler, madeAt, flaw: flawOf(asked, first, operators) }];
  });
}

/** The clock from which the timer of a handler counts. */
export function clockOf({ timer }: Reaching, { timers }: Protocol): string | undefined {
  const from = timers.find(({ name }) => name === timer)?.from;
  return from && momentName(from);
}

function isDecision(step: Step): boolean {
  return step.kind === "task" && step.topic === "anaesthetic-decision";
}

function flawOf(
  asked: readonly Step[],
  first: WayPlace,
  operators: ReadonlySet<string>,
): DecisionFlaw | undefined {
  const isOperators = (role: string) => operates(role, operators) && !givesAnaesthesia(role);
  const counts = (step: Step) => isDecision(step) && step.roles.some((role) => !isOperators(role));
  if (everyWayMeets(first, counts)) return undefined;
  if (asked.some(counts)) return { kind: "on-some-ways" };
  const role = asked.flatMap(({ roles }) => roles).find(isOperators);
  return role === undefined ? { kind: "nobodys" } : { kind: "by-operator", role };
}

/** Whether no way comes to its end without a step of a kind. */
function everyWayMeets(first: WayPlace, isAsked: (step: Step) => boolean): boolean {
  const places = new Set([first]);
  for (const place of places) {
    if (place.kind === "end") return false;
    if (place.kind === "step" && isAsked(place.step)) continue;
    for (const next of place.next) places.add(next);
  }
  return true;
}
