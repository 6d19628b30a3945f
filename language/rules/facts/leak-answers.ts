import { inBase, secondsText } from "@limbwright/shared/quantity";
import { allHandlers, type Handler, type Protocol, type Step } from "../../model/index.ts";
import { cuffNames, isOfToxicitySigns, longestInHand, pickCuffs } from "../../runs/index.ts";
import { timingOf } from "../engine/runs-for.ts";
import { emergenciesFrom } from "./emergencies-reached.ts";

/**
 * What is wrong with an answer to a leak, to go on after "The answer"; undefined for one that brings a cuff up within an action and has it
 * confirmed on every way through it, or goes to the treatment of toxicity.
 */
export function weaknessOfLeakAnswer(handler: Handler, protocol: Protocol): string | undefined {
  if (handler.kind === "event" && handler.notBefore) {
    return `is in force only ${secondsText(inBase(handler.notBefore).valueOf())} after its stage has begun`;
  }
  const walk = new AnswerWalk(protocol);
  walk.end(walk.through(handler.steps, [BEGINNING], []));
  return walk.weakness;
}

/** How far an answer has come on one way through it. */
interface Standing {
  readonly inflated: readonly string[];
  readonly confirmed: readonly string[];
  /** The longest time that has passed before a cuff was confirmed, in seconds. */
  readonly spent: number;
}

const BEGINNING: Standing = { inflated: [], confirmed: [], spent: 0 };

/** A stage of the answer, with the ways that leave it before its end. */
interface Around {
  readonly name: string;
  readonly left: Standing[];
}

class AnswerWalk {
  weakness: string | undefined;
  readonly #protocol: Protocol;
  readonly #cuffs: readonly string[];
  readonly #timing: ReturnType<typeof timingOf>;
  readonly #treatments: ReadonlySet<string>;
  readonly #entered = new Set<string>();

  constructor(protocol: Protocol) {
    this.#protocol = protocol;
    this.#cuffs = cuffNames(protocol);
    this.#timing = timingOf(protocol);
    const answers = allHandlers(protocol).filter(isOfToxicitySigns);
    this.#treatments = new Set(emergenciesFrom(protocol, answers).map(({ name }) => name));
  }

  /** The ways that go on after some steps. */
  through(steps: readonly Step[], ways: readonly Standing[], around: readonly Around[]): Standing[] {
    return steps.reduce<Standing[]>((before, step) => each(this.#after(step, before, around)), [...ways]);
  }

  /** The answer is over: a cuff has to be up and confirmed. */
  end(ways: readonly Standing[]): void {
    if (ways.some(({ confirmed }) => confirmed.length === 0)) {
      this.#blame("can be over without a cuff that it has inflated and confirmed");
    }
  }

  #after(step: Step, ways: readonly Standing[], around: readonly Around[]): Standing[] {
    if (ways.length === 0) return [];
    switch (step.kind) {
      case "inflate":
        return this.#inTime(ways, (way) => ({ ...way, inflated: union(way.inflated, this.#chosen(step)) }));
      case "confirm":
        return this.#confirm(step, ways, around);
      case "deflate":
        return ways.map((way) => this.#deflate(way, this.#chosen(step)));
      case "inject":
        this.#blame("injects");
        return [...ways];
      case "wait":
      case "wait-for":
      case "watch":
      case "recovery":
        if (ways.some(({ confirmed }) => confirmed.length === 0)) {
          this.#blame("waits before a cuff is up and confirmed again");
        }
        return [...ways];
      case "ask":
        return [...this.through(step.yes, ways, around), ...this.through(step.no, ways, around)];
      case "do":
      case "repeat":
        return this.through(step.steps, ways, around);
      case "stage": {
        const inside: Around = { name: step.name, left: [] };
        const done = this.through(step.steps, ways, [...around, inside]);
        return [...done, ...inside.left];
      }
      case "end-stage":
        return this.#leave(step.stage, ways, around);
      case "finish":
        this.end(ways);
        return [];
      case "go-to-emergency":
        return this.#emergency(step.emergency, ways);
      case "apply-cuffs":
      case "insert-cannula":
      case "remove-cannula":
      case "exsanguinate":
      case "remove-bandage":
      case "confirm-no-pulse":
      case "give":
      case "task":
        return ways.map((way) => ({ ...way, spent: way.spent + this.#longest(step) }));
    }
  }

  #chosen({ cuffs }: Step & { readonly kind: "inflate" | "confirm" | "deflate" }): string[] {
    return pickCuffs(cuffs, this.#cuffs);
  }

  /** What brings a cuff up, or has it confirmed, starts within an action. */
  #inTime(ways: readonly Standing[], change: (way: Standing) => Standing): Standing[] {
    const { actionTime } = this.#timing;
    if (ways.some(({ confirmed, spent }) => confirmed.length === 0 && spent > actionTime)) {
      this.#blame(`may take longer than ${secondsText(actionTime)} before a cuff is up and confirmed again`);
    }
    return ways.map(change);
  }

  #confirm(
    step: Step & { readonly kind: "confirm" },
    ways: readonly Standing[],
    around: readonly Around[],
  ): Standing[] {
    const chosen = this.#chosen(step);
    const succeeded = this.#inTime(ways, (way) => ({
      ...way,
      confirmed: union(
        way.confirmed,
        way.inflated.filter((cuff) => chosen.includes(cuff)),
      ),
    }));
    const failed = ways.map((way) => ({ ...way, confirmed: without(way.confirmed, chosen) }));
    return [...succeeded, ...(step.otherwise ? this.through(step.otherwise, failed, around) : [])];
  }

  #deflate(way: Standing, chosen: readonly string[]): Standing {
    const left = {
      ...way,
      inflated: without(way.inflated, chosen),
      confirmed: without(way.confirmed, chosen),
    };
    if (left.confirmed.length === 0) this.#blame("lets a cuff down before another one is up and confirmed");
    return left;
  }

  #leave(stage: string | undefined, ways: readonly Standing[], around: readonly Around[]): Standing[] {
    const left = around.findLast(({ name }) => stage === undefined || name === stage)?.left;
    if (left) left.push(...ways);
    else this.end(ways);
    return [];
  }

  /** The treatment of toxicity is an answer by itself; what any other emergency does is part of the answer. */
  #emergency(name: string, ways: readonly Standing[]): Standing[] {
    const emergency = this.#protocol.emergencies.find((one) => one.name === name);
    if (!emergency || this.#treatments.has(name) || this.#entered.has(name)) return [];
    this.#entered.add(name);
    this.end(this.through(emergency.steps, ways, []));
    this.#entered.delete(name);
    return [];
  }

  /** The injection is stopped, and help is called for, while the cuff comes up, where nothing else is said. */
  #longest(step: Step): number {
    const isCall =
      step.kind === "task" &&
      (step.topic === "stop-injection" || step.topic === "help" || step.topic === "oxygen") &&
      step.takes === undefined;
    return isCall ? 0 : longestInHand(step, this.#timing);
  }

  #blame(weakness: string): void {
    this.weakness ??= weakness;
  }
}

function union(some: readonly string[], others: readonly string[]): string[] {
  return [...new Set([...some, ...others])].sort();
}

function without(some: readonly string[], others: readonly string[]): string[] {
  return some.filter((one) => !others.includes(one));
}

/** Ways that have come equally far are one. */
function each(ways: readonly Standing[]): Standing[] {
  return [...new Map(ways.map((way) => [JSON.stringify(way), way])).values()];
}
