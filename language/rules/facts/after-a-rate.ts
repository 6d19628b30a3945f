import { originKey } from "@limbwright/shared/finding";
import { inBase } from "@limbwright/shared/quantity";
import {
  type Agent,
  type Dose,
  doseGivenBy,
  type Handler,
  holdsSteps,
  type Protocol,
  type Step,
} from "../../model/index.ts";
import { longestInHand } from "../../runs/index.ts";
import { timingOf } from "../engine/runs-for.ts";
import { agentsIn, isOneOf } from "./drugs.ts";

/**
 * What is given of a drug while, or after, an infusion of it runs that stops at a total: the infusion can have come to its total before, so
 * what comes then is on top.
 */
export interface GivenLate {
  /** How often each dose can be given then, its repeats among them. */
  readonly times: ReadonlyMap<string, number>;
  /** The longest time from the start of the infusion to the last of them, in seconds; `Infinity` where nothing bounds it. */
  readonly seconds: number;
}

/** The most of it that the steps allow, with every handler and every answer: no run gives more, or later. */
export function givenLate(agents: readonly Agent[], protocol: Protocol): GivenLate {
  const walk = new Walk(agents, protocol);
  walk.protocol();
  return walk.late();
}

/** Time since the infusion began; undefined before. */
type Since = number | undefined;

interface Late {
  readonly dose: string;
  readonly times: number;
  readonly seconds: number;
}

class Walk {
  readonly #agents: readonly Agent[];
  readonly #protocol: Protocol;
  readonly #timing: ReturnType<typeof timingOf>;
  /** By the place of the step, so that one that is come to in several ways counts once. */
  readonly #late = new Map<string, Late>();
  /** The emergencies being followed. */
  readonly #within: string[] = [];

  constructor(agents: readonly Agent[], protocol: Protocol) {
    this.#agents = agents;
    this.#protocol = protocol;
    this.#timing = timingOf(protocol);
  }

  protocol(): void {
    const { steps = [], throughout, emergencies } = this.#protocol;
    const after = this.#steps(steps, undefined, 1);
    this.#handlers(throughout, after, 1);
    for (const emergency of emergencies) this.#steps(emergency.steps, undefined, 1);
  }

  late(): GivenLate {
    const times = new Map<string, number>();
    for (const one of this.#late.values()) times.set(one.dose, (times.get(one.dose) ?? 0) + one.times);
    return { times, seconds: Math.max(0, ...[...this.#late.values()].map(({ seconds }) => seconds)) };
  }

  #steps(steps: readonly Step[], since: Since, rounds: number): Since {
    return steps.reduce<Since>((now, step) => this.#step(step, now, rounds), since);
  }

  #step(step: Step, since: Since, rounds: number): Since {
    if (step.kind === "go-to-emergency") return this.#emergency(step.emergency, since, rounds);
    if (!holdsSteps(step))
      return this.#after(step, "dose" in step ? this.#giving(step, since, rounds) : since);
    switch (step.kind) {
      case "do":
        return this.#steps(step.steps, since, rounds);
      case "ask":
        return latest(this.#steps(step.yes, since, rounds), this.#steps(step.no, since, rounds));
      case "confirm": {
        const felt = this.#after(step, since);
        return latest(felt, this.#steps(step.otherwise ?? [], felt, rounds));
      }
      case "repeat": {
        const once = this.#steps(step.steps, since, rounds);
        // From the second round on it is as late as the last one.
        if (once === undefined || step.times < 2) return once;
        const last = once + secondsOfRounds(step.times - 2, since, once);
        return this.#steps(step.steps, last, rounds * step.times);
      }
      case "stage": {
        const after = this.#steps(step.steps, since, rounds);
        return latest(after, this.#handlers(step.handlers, after, rounds));
      }
    }
  }

  #after(step: Step, since: Since): Since {
    if (since === undefined) return undefined;
    // How long a timer is waited for, only the runs tell.
    return step.kind === "wait-for" ? Number.POSITIVE_INFINITY : since + longestInHand(step, this.#timing);
  }

  /** A handler may come at any moment, as often as it may. */
  #handlers(handlers: readonly Handler[], since: Since, rounds: number): Since {
    const anyTime = since === undefined ? undefined : Number.POSITIVE_INFINITY;
    const times = (handler: Handler) => (handler.kind === "reaches" ? 1 : (handler.times ?? 1)) * rounds;
    const begun = handlers.map((handler) => this.#steps(handler.steps, anyTime, times(handler)));
    if (begun.every((one) => one === undefined)) return undefined;
    for (const handler of handlers) this.#steps(handler.steps, Number.POSITIVE_INFINITY, times(handler));
    return Number.POSITIVE_INFINITY;
  }

  #emergency(name: string, since: Since, rounds: number): Since {
    const emergency = this.#protocol.emergencies.find((one) => one.name === name);
    if (!emergency || this.#within.includes(name)) return since;
    this.#within.push(name);
    this.#steps(emergency.steps, since, rounds);
    this.#within.pop();
    // Nobody comes back from there.
    return since;
  }

  #giving(step: Step & { readonly dose: string }, since: Since, rounds: number): Since {
    const dose = doseGivenBy(step, this.#protocol);
    if (!dose || !agentsIn(dose).some((one) => isOneOf(this.#agents, one))) return since;
    const begun = dose.rate && isOneOf(this.#agents, dose.agent) ? (since ?? 0) : since;
    this.#note(step, dose, begun, rounds);
    return begun;
  }

  #note(step: Step, dose: Dose, since: Since, rounds: number): void {
    if (dose.rate && !dose.amount && dose.adjuvants.length === 0) return;
    const repeats = dose.repeat?.times ?? 0;
    const lasting = dose.repeat ? repeats * inBase(dose.repeat.interval).valueOf() : 0;
    // What is repeated goes on beside the steps, and beside an infusion that begins meanwhile.
    const times = (since === undefined ? repeats : repeats + 1) * rounds;
    if (times === 0) return;
    const key = originKey(step.origin);
    const known = this.#late.get(key);
    this.#late.set(key, {
      dose: dose.name,
      times: Math.max(times, known?.times ?? 0),
      seconds: Math.max((since ?? 0) + lasting, known?.seconds ?? 0),
    });
  }
}

function latest(a: Since, b: Since): Since {
  return a === undefined || b === undefined ? (a ?? b) : Math.max(a, b);
}

/** The longest time of some rounds of a `repeat` whose first one goes from one time to another; without end where that is not known. */
function secondsOfRounds(rounds: number, from: Since, to: number): number {
  if (rounds === 0) return 0;
  const isKnown = from !== undefined && to !== Number.POSITIVE_INFINITY;
  return isKnown ? rounds * (to - from) : Number.POSITIVE_INFINITY;
}
