import type { Origin } from "@limbwright/shared/finding";
import {
  type AutomatonStep,
  type Condition,
  HANDLER_STEP_CLOCK,
  isHandling,
  type Limit,
  type Phase,
  STEP_CLOCK,
} from "@limbwright/shared/runtime";
import type { Handler, Protocol, Step } from "../../model/index.ts";
import type { Draft, LocationGroup } from "./draft.ts";
import type { Timing } from "./durations.ts";
import type { EffectSetting } from "./effects.ts";
import type { Effect } from "./moments.ts";
import { stepData } from "./step-meaning.ts";
import type { Watcher } from "./watch.ts";

/** The locations that belong to a stage, a handler's body or the plan: what an event there may interrupt. */
export interface Scope {
  readonly during: number[];
  readonly before: number[];
}

export function emptyScope(): Scope {
  return { during: [], before: [] };
}

/** A stage that the steps being built stand in. */
export interface OpenStage {
  readonly name: string;
  /** Where a run goes when the stage is over. */
  readonly exit: number;
  readonly atExit: Effect;
  /** Whether it stands in the body of the handler that is being built. */
  readonly inHandler: boolean;
  /** What tells whether a handler took time in it, where it has a longest time. */
  readonly touched?: string;
  /** The stages within it: they are over when it is. */
  readonly within: { readonly name: string; readonly scope: Scope }[];
}

/** Where steps stand. */
export interface Place {
  readonly phase: Phase;
  /** Whether toxicity signs led here, so that an emergency to which it goes on is no longer judged. */
  readonly isAfterSigns: boolean;
  readonly stages: readonly OpenStage[];
  /** The longest times of the stages around. */
  readonly atMost: readonly Limit[];
  readonly scopes: readonly Scope[];
}

/** A handler's body that was built, with what it may have interrupted. */
export interface Body {
  readonly handler: Handler;
  /** What leads into it. */
  readonly says: string;
  readonly scope: Scope;
  readonly interrupts: Scope;
  readonly phase: Phase;
  readonly isAfterSigns: boolean;
}

/** A handler of an event, with where and when it is in force. */
export interface HandlerInForce {
  readonly handler: Handler;
  readonly scope: Scope;
  readonly when?: Condition;
}

/** An injection into the limb, which a leak ends. */
export interface Injection {
  readonly says: string;
  readonly step: AutomatonStep;
  readonly during: number;
  readonly after: number;
  readonly atEnd: Effect;
  /** Whether a handler may interrupt it, after which the run comes back to it. */
  readonly isInterruptible: boolean;
  readonly origin: Origin;
}

/** What every part of the building needs. */
export interface Building {
  readonly protocol: Protocol;
  readonly draft: Draft;
  readonly timing: Timing;
  readonly setting: EffectSetting;
  readonly watchers: readonly Watcher[];
  /** All that is plan, with the emergencies that are. */
  readonly plan: Scope;
  /** The location in which a run has ended. */
  readonly end: number;
  readonly bodies: Body[];
  /** The stages and emergencies that were built, with their locations. */
  readonly groups: (Omit<LocationGroup, "locations"> & { readonly scope: Scope })[];
  /** Entries of the emergencies that were built, by name and by what led there. */
  readonly emergencies: Map<string, number>;
  /** The emergencies of which a run takes note that they have begun. */
  readonly begun: readonly string[];
  /** The work to be done when all bodies are known: what may cut in on them. */
  readonly afterwards: (() => void)[];
  /** Whether each step of the plan is followed by an inflation of another cuff. */
  readonly inflationsLater: ReadonlyMap<object, readonly string[]>;
  /** What tells whether a handler has run in a stage with a longest time. */
  readonly touched: { readonly variable: string; readonly scope: Scope }[];
  /** What requirements take note of as steps start and end. */
  readonly tracked: (at: "start" | "end", step: Step) => Effect;
  /** Where an injection is in hand, what comes after it, and what its end changes: a leak ends it. */
  readonly injections: Injection[];
  /** Which leaks are explored; undefined: none. */
  readonly leaks?: Leaks;
  /** Every handler of an event, with where it is in force. */
  readonly inForce: HandlerInForce[];
  /** Numbers that make names of variables unique. */
  readonly counter: { next: number };
  /** Builds steps that lead on to `after`; gives the location before the first. */
  readonly steps: (building: Building, steps: readonly Step[], after: number, place: Place) => number;
}

/** One cuff loses its pressure, or all that are up do so together. */
export type Leaks = "one" | "both";

/** A location before something, where no time passes. */
export function locationBefore(building: Building, name: string, place: Place): number {
  const location = building.draft.addLocation({ name, kind: "before", phase: place.phase });
  for (const scope of place.scopes) scope.before.push(location);
  return location;
}

/** A location while something is being done. */
export function locationDuring(
  building: Building,
  name: string,
  place: Place,
  atMost: readonly Limit[],
  step: Step,
): number {
  const limits = [...atMost, ...place.atMost];
  const location = building.draft.addLocation({
    name,
    kind: "during",
    phase: place.phase,
    step: stepData(step),
    ...(limits.length > 0 && { atMost: limits }),
  });
  for (const scope of place.scopes) scope.during.push(location);
  return location;
}

export function stepClock(place: Place): string {
  return isInHandler(place) ? HANDLER_STEP_CLOCK : STEP_CLOCK;
}

export function isInHandler({ phase }: Place): boolean {
  return isHandling(phase);
}
