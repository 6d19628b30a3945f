import type { Origin, RunFact } from "@limbwright/shared/finding";
import type { AutomatonStep, EdgeKind } from "@limbwright/shared/runtime";
import type { Element, TracedAutomaton } from "./automaton/draft.ts";

/** What is known of the runs of a protocol. */
export type Runs = ExploredRuns | UnexploredRuns;

/** The same of runs of which nobody asks how early and how late they release. */
export type UntimedRuns = UntimedExploredRuns | UnexploredRuns;

/** What is known of the runs with a leak: what they come to and give. Of what rules watch for only that is looked for which is asked of them alone. */
export type RunsWithLeak =
  | Pick<ExploredRuns, "kind" | "traced" | "limit" | "brokenBy" | "endedBy" | "unreached" | "given">
  | UnexploredRuns;

/** The runs could not be gone through at all. */
export interface UnexploredRuns {
  readonly kind: "not-explored";
  readonly limit: string;
  readonly origin?: Origin;
}

export interface UntimedExploredRuns {
  readonly kind: "explored";
  /** Why not every run was gone through; undefined when each was. */
  readonly limit?: string;
  /** Whether some run breaks a check of the rule. */
  readonly breaks: (rule: string) => boolean;
  /** What a rule watched for and some run does: once for each place and each thing it is about. */
  readonly brokenBy: (rule: string) => readonly BrokenCheck[];
  /** The rules whose broken checks end the following of a run, as far as some run broke one. */
  readonly endedBy: readonly string[];
  /** States in which a run can neither wait nor go on, or from which it never comes to an end. */
  readonly stuck: StuckRuns;
  /** The steps, handlers and answers that no run comes to. */
  readonly unreached: readonly Element[];
  /** The automaton whose runs these are. */
  readonly traced: TracedAutomaton;
  /** The doses that runs give: every count, those of runs with the fewest decisions first. */
  readonly given: readonly GivenDoses[];
}

export interface ExploredRuns extends UntimedExploredRuns {
  readonly envelope: Envelope;
  /** A run with the earliest release, and one with the latest as far as whole seconds come near it. */
  readonly releases: ReleaseRuns;
}

/** A check that some run breaks, with the run that does so with the fewest decisions, and then the earliest. */
export interface BrokenCheck {
  readonly rule: string;
  readonly about?: string;
  readonly origin: Origin;
  readonly run: Run;
}

export interface StuckRun {
  readonly origin: Origin;
  /** The step in hand. */
  readonly says: string;
  /** `waits`: nothing can happen any more. `circles`: steps follow each other without an end. */
  readonly how: "waits" | "circles";
  readonly run: Run;
}

export interface StuckRuns {
  readonly stuck: readonly StuckRun[];
  /** Why not every state was looked at. */
  readonly limit?: string;
}

/** One run with real times, replayed step by step. */
export interface Run {
  readonly steps: readonly RunStep[];
  /** How long each clock has counted at the end, in seconds; one that never began, from the beginning of the run. */
  readonly clocks: Readonly<Record<string, number>>;
  /** The variables at the end, by name. */
  readonly variables: Readonly<Record<string, number>>;
}

/** One thing that happens in a run. */
export interface RunStep {
  readonly at: number;
  /** `stays`: nothing happens, but time has passed with the step in hand. */
  readonly kind: EdgeKind | "stays";
  /** For a reader: the step, event or answer in the words of the protocol. */
  readonly says: string;
  /** The step that starts, ends, is answered, or goes on. */
  readonly step?: AutomatonStep;
  /** What is otherwise afterwards, for a reader in a few words each: "distal flat", "no cuff up". */
  readonly changes: readonly string[];
  /** What is otherwise afterwards than at the beginning of the run. */
  readonly standing: readonly RunFact[];
  /** Whether the run cannot be told without it. */
  readonly isKey: boolean;
  /** Whether the drug was injected by then, or its injection has begun. */
  readonly isInjected: boolean;
  /** The dose whose giving begins. */
  readonly dose?: string;
  readonly origin?: Origin;
}

/**
 * Two runs to show the envelope by. Each goes on after its release in the shortest times, to its end. One is missing where no
 * run comes to a release, where there is no latest, or where it cannot be given times.
 */
export interface ReleaseRuns {
  readonly earliest?: Run;
  readonly latest?: Run;
}

/** A time that some run comes to, in seconds; `attained` is false where runs only come as near as one likes. */
export interface Extreme {
  readonly seconds: number;
  readonly attained: boolean;
}

/**
 * The times at which the plan and its handlers release, over all runs as far as they are followed; what is done in the answer to
 * toxicity signs is left out. A missing latest or longest has no limit.
 */
export interface Envelope {
  /** From the end of the last injection to the release; undefined where no run comes to one. */
  readonly release?: { readonly earliest: Extreme; readonly latest?: Extreme };
  /** From the end of the first inflation to the last deflation. */
  readonly occlusion?: { readonly shortest: Extreme; readonly longest?: Extreme };
}

/** How often each dose was started in a run. */
export interface GivenDoses {
  readonly counts: ReadonlyMap<string, number>;
  /** Whether no other count gives as much of everything and more of something. */
  readonly isGreatest: boolean;
  /** A run that gives them, with the fewest decisions. */
  readonly run: () => Run;
}

/** The times of the release and the occlusion, only where every run is followed to its end. */
export function wholeEnvelope(runs: Runs): Envelope | undefined {
  const isWhole = runs.kind === "explored" && runs.limit === undefined && runs.endedBy.length === 0;
  return isWhole ? runs.envelope : undefined;
}
