import { type Case, type Machine, machineOf, moved, type Standing } from "@limbwright/shared/runtime";
import { type RunStep, runTeller } from "../runs/index.ts";
import type { Rehearsal } from "./rehearsal.ts";

/** A case with all that happened in it, told step by step. */
export interface Trail {
  readonly case: Case;
  readonly standing: Standing;
  /** One for each happening in the history of the case. */
  readonly steps: readonly RunStep[];
}

/** Follows cases of one protocol along its automaton. */
export class Follower {
  readonly #machine: Machine;
  readonly #told: ReturnType<typeof runTeller>;

  constructor({ traced }: Rehearsal) {
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
      const next = moved(standing, move, at);
      const step = this.#told(edge, standing, next);
      const broken = [...new Set(breaks.map(({ rule }) => `breaks ${rule}`))];
      steps.push({ ...step, isKey: step.isKey || broken.length > 0, changes: [...step.changes, ...broken] });
      standing = next;
    }
    return { case: later, standing, steps };
  }
}
