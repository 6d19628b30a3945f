import {
  type Automaton,
  type Case,
  locationOf,
  type Machine,
  machineOf,
  type Refusal,
  type Standing,
  standingAfter,
} from "@limbwright/shared/runtime";
import { type RunStep, runTeller } from "../runs/index.ts";
import type { Rehearsal } from "./rehearsal.ts";

/** A case with all that happened in it, told step by step. */
export interface Trail {
  readonly case: Case;
  readonly standing: Standing;
  /** One for each happening in the history of the case. */
  readonly steps: readonly RunStep[];
}

/** What a case comes to by itself: the next thing that happens, or nothing, because of a rule that it would break. */
export type Next =
  | { readonly kind: "happens"; readonly trail: Trail }
  | { readonly kind: "waits"; readonly stoppedBy?: Refusal };

/** Follows cases of one protocol along its automaton. Each step takes its shortest time. */
export class Follower {
  readonly #automaton: Automaton;
  readonly #machine: Machine;
  readonly #told: ReturnType<typeof runTeller>;

  constructor({ traced }: Rehearsal) {
    this.#automaton = traced.automaton;
    this.#machine = machineOf(traced.automaton);
    this.#told = runTeller(traced);
  }

  begin(started: Case): Trail {
    return this.on({ case: started, standing: this.#machine.start(), steps: [] }, started);
  }

  /** The trail on to a later case of the same run. */
  on(trail: Trail, later: Case): Trail {
    const steps = [...trail.steps];
    let { standing } = trail;
    for (const { edge, at, breaks } of later.history.slice(steps.length)) {
      const move = this.#machine.movesAt(standing).moves.find((one) => one.edge === edge);
      if (!move) throw new Error(`the runtime took edge ${edge}, which the automaton does not have there`);
      const next = standingAfter(standing, move, at);
      const step = this.#told(edge, standing, next);
      const broken = [...new Set(breaks.map(({ rule }) => `breaks ${rule}`))];
      steps.push({ ...step, isKey: step.isKey || broken.length > 0, changes: [...step.changes, ...broken] });
      standing = next;
    }
    return { case: later, standing, steps };
  }

  /**
   * The next thing that happens by itself before a time. The runtime lets a timer run on while a question is not
   * answered, as it does in a room; in a run of the protocol no time passes between two steps.
   */
  next(trail: Trail, before = Number.POSITIVE_INFINITY): Next {
    const { case: later, happenings, stoppedBy } = trail.case.advance(before, ONE_THING);
    if (happenings.length === 0 || (this.isBetweenSteps(trail) && later.at > trail.case.at)) {
      return { kind: "waits", ...(stoppedBy && { stoppedBy }) };
    }
    return { kind: "happens", trail: this.on(trail, later) };
  }

  /** The trail with all that happens by itself before a time. */
  until(trail: Trail, time: number): Trail {
    let now = trail;
    for (;;) {
      const next = this.next(now, time);
      if (next.kind === "waits") return now;
      now = next.trail;
    }
  }

  isBetweenSteps({ standing }: Trail): boolean {
    return this.#automaton.locations[locationOf(standing.state)]?.kind === "before";
  }
}

const ONE_THING = { pace: "shortest", until: () => true } as const;
