import type { AutomatonEdge, AutomatonLocation } from "../rule-file/generated/rule-file.ts";

/**
 * A protocol as a timed automaton: where the team is (locations), what is so (variables), how long something
 * has been so (clocks), and what may happen next (edges). Plain data, as it stands in a rule file; the
 * runtime steps it with real times, and the proof explores it with all times at once.
 *
 * What it means: time passes only in a location, all clocks run alike, and an edge takes no time. In a
 * location that is not `during`, no time passes. In one that is, time passes up to its `atMost` and up to
 * the moment an edge that is `due` may be taken; whoever comes in after that stays, but no time passes.
 */
export type {
  Assignment,
  Automaton,
  AutomatonCheck as Check,
  AutomatonEdge as Edge,
  AutomatonEvent,
  AutomatonLocation as Location,
  AutomatonStep,
  AutomatonVariable as Variable,
  ClockCondition,
  ClockLimit as Limit,
  Reset,
  RunCondition as Condition,
} from "../rule-file/generated/rule-file.ts";

export type EdgeKind = AutomatonEdge["kind"];

/** Whose steps these are: the plan's, a handler's, those of an emergency after toxicity signs, of its handler; or the run's end. Any other emergency is plan. */
export type Phase = AutomatonLocation["phase"];

/** The clocks from the start of the step in hand; all others have a meaning beyond it. */
export const STEP_CLOCK = "step";
export const HANDLER_STEP_CLOCK = "step of handler";

export function isStepClock(clock: string): boolean {
  return clock === STEP_CLOCK || clock === HANDLER_STEP_CLOCK;
}

/** Whether the rules of cuff and time are no longer judged: in an emergency that toxicity signs led to. */
export function isEmergency(phase: Phase): boolean {
  return phase === "emergency" || phase === "emergency-handler";
}

/** Whether something else goes on once these steps are over. */
export function isHandling(phase: Phase): boolean {
  return phase === "handler" || phase === "emergency-handler";
}
