import type { RunStepShown, TextRange } from "./preview.ts";

/** The scenarios of a text, in its order. `null` is answered where the text is not known. */
export const SCENARIOS = "limbwright/scenarios";

export interface ScenariosAsked {
  readonly uri: string;
}

export interface ListedScenario {
  /** Its title, by which it is asked for. */
  readonly name: string;
  readonly protocol: string;
  /** Its heading. */
  readonly range: TextRange;
}

/** Runs one scenario of a text. `null` is answered where there is none of that name. */
export const RUN_SCENARIO = "limbwright/runScenario";

/**
 * The command of the code lens at a scenario, with its text's URI and its name as arguments. It is the client's: it asks
 * for `RUN_SCENARIO` and shows what comes.
 */
export const RUN_SCENARIO_COMMAND = "limbwright.runScenario";

export interface RunScenarioAsked {
  readonly uri: string;
  readonly scenario: string;
}

/** What a scenario came to. What is not decided is no pass, and is not to be shown as one. */
export interface ScenarioRan extends ListedScenario {
  readonly outcome: "passed" | "failed" | "not-decided";
  /** Why the scenario as a whole is not decided. */
  readonly limit?: string;
  readonly lines: readonly ScenarioLineRan[];
  /** What happened, from the beginning of the case. */
  readonly steps: readonly RunStepShown[];
  /** Whether the text, or one that it uses, has changed since it was asked for. */
  readonly isStale: boolean;
  /** To be shown with it. */
  readonly caution: string;
}

export interface ScenarioLineRan {
  readonly range: TextRange;
  /** `done`: it says who the patient is, or made something happen. */
  readonly outcome: "done" | "passed" | "failed" | "not-decided";
  readonly expected?: string;
  /** What was found; of a line that is not decided, why. */
  readonly found?: string;
  /** When that was, in words. */
  readonly when?: string;
  /** How many of the steps had happened by then. */
  readonly told: number;
}
