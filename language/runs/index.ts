export {
  type Assumption,
  assumptionsOf,
  assumptionText,
  type Promised,
  promisesOf,
  promiseText,
} from "./assumptions.ts";
export { buildAutomaton } from "./automaton/build-automaton.ts";
export type { LocationGroup, TracedAutomaton } from "./automaton/draft.ts";
export type { Timing } from "./automaton/durations.ts";
export { isOfToxicitySigns, treatmentEmergencies } from "./automaton/emergencies.ts";
export * from "./automaton/facts.ts";
export {
  isAboutLeakOf,
  isDecision,
  isOfLeaks,
  LEAK_UNDECIDED,
  mayInjectAgain,
} from "./automaton/leak-facts.ts";
export { momentName } from "./automaton/moments.ts";
export { doesAction, REQUIREMENT_RULE, requirementsInOrder } from "./automaton/requirements.ts";
export {
  cuffWords,
  durationWords,
  handlerWords,
  longestInHand,
  stepData,
  stepWithoutTimes,
  stepWords,
} from "./automaton/step-meaning.ts";
export type { Instant, Watched, WatchedCheck, Watcher } from "./automaton/watch.ts";
export { runTeller, UnreplayableRun } from "./concrete-run.ts";
export { exploreLeaks, exploreRuns, exploreUntimedRuns, whyNoRuns } from "./explore-runs.ts";
export {
  FAULTS,
  type Fault,
  type FaultCell,
  type FaultRow,
  type FaultTable,
  faultTable,
} from "./faults/fault-table.ts";

export {
  type RunBeyond,
  type RunDifference,
  runDifference,
} from "./inclusion/runs-beyond.ts";
export { type ProvenWithout, provenRules } from "./proven-rules.ts";
export * from "./runs.ts";
