export type { Patient, RunEvent } from "../rule-file/generated/rule-file.ts";
export { type AgainstFile, againstFile, type FollowOptions } from "./against-file.ts";
export type { Amount, DoseForPatient } from "./amounts.ts";
export * from "./automaton.ts";
export type { BrokenRule } from "./broken.ts";
export {
  type Advanced,
  type AdvanceOptions,
  type Case,
  type Offered,
  type Reason,
  type Started,
  type StartOptions,
  start,
} from "./case.ts";
export * from "./condition.ts";
export type { Alarm, Due, Next, Overdue, TimerBound, TimerReading } from "./due.ts";
export * from "./events.ts";
export * from "./machine.ts";
export * from "./moves.ts";
export type { Happening, Pace } from "./passage.ts";
export { type Answers, contraindicationsOf, MEASURE_WORDS, type Unsuitable } from "./patient.ts";
export type { Because, Refusal } from "./refusal.ts";
export * from "./state.ts";
