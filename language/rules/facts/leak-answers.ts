import { inBase, secondsText } from "@limbwright/shared/quantity";
import { allSteps, type Handler, isWork, type Protocol, type Step, stepsReached } from "../../model/index.ts";
import {
  cuffNames,
  isAboutLeakOf,
  isDecision,
  longestInHand,
  pickCuffs,
  treatmentEmergencies,
} from "../../runs/index.ts";
import { timingOf } from "../engine/runs-for.ts";
import { mayReturn } from "./ways.ts";

/**
 * What is wrong with an answer to a leak, to go on after "The answer"; undefined for one that begins to bring a cuff up within an action
 * and has it confirmed soon after, on every way through it and whichever cuff leaks, or goes to the treatment of toxicity. The drug may
 * be let go after `minimum` seconds.
 */
export function weaknessOfLeakAnswer(
  handler: Handler,
  protocol: Protocol,
  minimum: number,
): string | undefined {
  if (handler.kind === "event" && handler.notBefore) {
    return `is in force only ${secondsText(inBase(handler.notBefore).valueOf())} after its stage has begun`;
  }
  const leaking = cuffNames(protocol).filter((cuff) => isAboutLeakOf(cuff, handler));
  for (const cuff of leaking) {
    const walk = new AnswerWalk(protocol, cuff, minimum);
    walk.end(walk.through(handler.steps, [BEGINNING], []));
    if (walk.weakness !== undefined) return walk.weakness;
  }
  return undefined;
}

/**
 * Whether an answer can be used up, so that a later leak meets none. One that gives a dose has to say how often it may: as often as
 * twice is enough.
 */
export function mayBeUsedUp(handler: Handler, protocol: Protocol): boolean {
  if (handler.kind !== "event" || handler.times === undefined || !mayReturn(protocol, handler)) return false;
  const givesDose = [...stepsReached(handler.steps)].some((step) => "dose" in step);
  return handler.times < (givesDose ? 2 : Number.POSITIVE_INFINITY);
}

/** How far an answer has come on one way through it. */
interface Standing {
  readonly inflated: readonly string[];
  readonly confirmed: readonly string[];
  /** Whether a cuff has begun to come up that is not confirmed yet. */
  readonly isComingUp: boolean;
  /** The longest time since the leak, since a cuff has begun to come up, or since a confirmation has failed, in seconds. */
  readonly spent: number;
  /** Whether somebody has decided on what goes on. */
  readonly isDecided: boolean;
  /** Whether the shortest time to the release has been waited for. */
  readonly isHeld: boolean;
}

const BEGINNING: Standing = {
  inflated: [],
  confirmed: [],
  isComingUp: false,
  spent: 0,
  isDecided: false,
  isHeld: false,
};

/** More than this is as good as no end. */
const ENDLESS = 60 * 60;

/** A stage of the answer, with the ways that leave it before its end. */
interface Around {
  readonly name: string;
  readonly left: Standing[];
}

class AnswerWalk {
  weakness: string | undefined;
  readonly #protocol: Protocol;
  readonly #leaking: string;
  readonly #minimum: number;
  readonly #cuffs: readonly string[];
  readonly #timing: ReturnType<typeof timingOf>;
  readonly #treatments: ReadonlySet<string>;
  readonly #entered = new Set<string>();
  /** In how many handlers the steps stand that are walked through. */
  #interrupting = 0;

  constructor(protocol: Protocol, leaking: string, minimum: number) {
    this.#protocol = protocol;
    this.#leaking = leaking;
    this.#minimum = minimum;
    this.#cuffs = cuffNames(protocol);
    this.#timing = timingOf(protocol);
    this.#treatments = treatmentEmergencies(protocol);
  }

  /** The ways that go on after some steps. */
  through(steps: readonly Step[], ways: readonly Standing[], around: readonly Around[]): Standing[] {
    return steps.reduce<Standing[]>((before, step) => each(this.#after(step, before, around)), [...ways]);
  }

  /** The answer is over: a cuff has to be up and confirmed. */
  end(ways: readonly Standing[]): void {
    if (ways.some(isOpen)) {
      this.#blame("can be over without a cuff that it has inflated and confirmed");
    }
  }

  #after(step: Step, ways: readonly Standing[], around: readonly Around[]): Standing[] {
    if (ways.length === 0) return [];
    if (isWork(step)) return this.#work(step, ways);
    switch (step.kind) {
      case "inflate":
        return this.#inflate(step, ways);
      case "confirm":
        return this.#confirm(step, ways, around);
      case "deflate":
        return ways.flatMap((way) => this.#deflate(step, way));
      case "inject":
        if (ways.some(({ confirmed, isDecided }) => confirmed.length === 0 || !isDecided)) {
          this.#blame("injects before a cuff is confirmed and somebody has decided that more is given");
        }
        return ways.map((way) => ({ ...way, isHeld: false }));
      case "wait":
      case "wait-for":
      case "watch":
      case "recovery":
        if (ways.some(isOpen)) {
          this.#blame("waits before a cuff is up and confirmed again");
        }
        return waitsForRelease(step, this.#protocol, this.#minimum)
          ? ways.map((way) => ({ ...way, isHeld: true }))
          : [...ways];
      case "ask": {
        const decided = deciding(step, ways);
        return [...this.through(step.yes, decided, around), ...this.through(step.no, decided, around)];
      }
      case "do":
        return this.through(step.steps, ways, around);
      case "repeat":
        return this.#rounds(step, ways, around);
      case "stage": {
        const inside: Around = { name: step.name, left: [] };
        const done = this.through(step.steps, ways, [...around, inside]);
        // In an emergency an event of the stage may still strike.
        this.#interrupting += 1;
        const interrupted = step.handlers.flatMap(({ steps }) =>
          this.through(steps, done, [...around, inside]),
        );
        this.#interrupting -= 1;
        return [...done, ...interrupted, ...inside.left];
      }
      case "end-stage":
        return this.#leave(step.stage, ways, around);
      case "finish":
        this.end(ways);
        return [];
      case "go-to-emergency":
        return this.#emergency(step.emergency, ways);
      case "give":
        return this.#work(step, ways);
    }
  }

  #work(step: Step, ways: readonly Standing[]): Standing[] {
    if (step.kind === "exsanguinate") this.#blame("squeezes the limb, and with it the drug past the cuff");
    return deciding(step, ways).map((way) => later(way, this.#longest(step)));
  }

  /** Round after round, until another one changes nothing. */
  #rounds(
    { steps, times }: Step & { readonly kind: "repeat" },
    ways: readonly Standing[],
    around: readonly Around[],
  ): Standing[] {
    let after = [...ways];
    for (let round = 0; round < times && this.weakness === undefined; round += 1) {
      const before = JSON.stringify(after);
      after = this.through(steps, after, around);
      if (JSON.stringify(after) === before) break;
    }
    return after;
  }

  #chosen({ cuffs }: Step & { readonly kind: "inflate" | "confirm" }): string[] {
    return pickCuffs(cuffs, this.#cuffs);
  }

  /** What brings a cuff up starts within an action. */
  #inflate(step: Step & { readonly kind: "inflate" }, ways: readonly Standing[]): Standing[] {
    const { actionTime } = this.#timing;
    if (ways.some((way) => isOpen(way) && !way.isComingUp && way.spent > actionTime)) {
      this.#blame(`may take longer than ${secondsText(actionTime)} before a cuff begins to come up again`);
    }
    return ways.map((way) => {
      const begun = way.isComingUp ? way : { ...way, isComingUp: true, spent: 0 };
      const inflated = union(way.inflated, this.#chosen(step));
      return { ...later(begun, this.#longest(step)), inflated };
    });
  }

  /** What comes up is confirmed within two actions: to the end of the confirmation. */
  #confirm(
    step: Step & { readonly kind: "confirm" },
    ways: readonly Standing[],
    around: readonly Around[],
  ): Standing[] {
    const chosen = this.#chosen(step);
    const most = 2 * this.#timing.actionTime;
    const felt = ways.map((way) => later(way, this.#longest(step)));
    if (felt.some((way) => isOpen(way) && way.spent > most)) {
      this.#blame(`may take longer than ${secondsText(most)} until the cuff that comes up is confirmed`);
    }
    const succeeded = felt.map((way) => ({
      ...way,
      confirmed: union(
        way.confirmed,
        way.inflated.filter((cuff) => chosen.includes(cuff)),
      ),
    }));
    const failed = felt.map((way) => ({
      ...way,
      confirmed: without(way.confirmed, chosen),
      isComingUp: false,
      spent: 0,
    }));
    return [...succeeded, ...(step.otherwise ? this.through(step.otherwise, failed, around) : [])];
  }

  /**
   * A release in an emergency, behind a confirmed cuff, ends the answer: it is held against the minimum in the runs with a leak. After
   * that time the cuffs may come down one by one, whichever has leaked.
   */
  #deflate({ cuffs }: Step & { readonly kind: "deflate" }, way: Standing): Standing[] {
    const chosen = pickCuffs(cuffs, this.#cuffs);
    const left = {
      ...way,
      inflated: without(way.inflated, chosen),
      confirmed: without(way.confirmed, chosen),
    };
    const isPlanned = this.#entered.size > 0 && this.#interrupting === 0 && !isOpen(way);
    const isWhole = chosen.length === this.#cuffs.length || (way.isHeld && left.inflated.length === 0);
    if (isPlanned && isWhole) return [];
    if (isPlanned && way.isHeld && !isOpen(left)) return [left];
    if (isOpen(left)) {
      this.#blame("lets a cuff down before another one is up and confirmed");
    } else if (left.confirmed.every((cuff) => cuff === this.#leaking)) {
      this.#blame(
        `lets the other cuff down where \`${this.#leaking}\` leaks: the one that has leaked is left alone`,
      );
    }
    return [left];
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

/** Whether a step lasts until the drug may be let go: by the timer of all that is injected, or by its own time. */
function waitsForRelease(
  step: Step & { readonly kind: "wait" | "wait-for" | "watch" | "recovery" },
  protocol: Protocol,
  minimum: number,
): boolean {
  if (step.kind !== "wait-for") return step.duration.shortest.compare(minimum) >= 0;
  const timer = protocol.timers.find(({ name }) => name === step.timer);
  const { from, atLeast } = timer ?? {};
  const injected = [...allSteps(protocol)].flatMap((one) => (one.kind === "inject" ? [one.dose] : []));
  return (
    from?.kind === "end" &&
    injected.every((dose) => dose === from.target) &&
    atLeast !== undefined &&
    inBase(atLeast).compare(minimum) >= 0
  );
}

/** No cuff is up and confirmed yet. */
function isOpen({ confirmed }: Standing): boolean {
  return confirmed.length === 0;
}

function later(way: Standing, seconds: number): Standing {
  const spent = way.spent + seconds;
  return { ...way, spent: spent > ENDLESS ? Number.POSITIVE_INFINITY : spent };
}

function deciding(step: Step, ways: readonly Standing[]): readonly Standing[] {
  return isDecision(step) ? ways.map((way) => ({ ...way, isDecided: true })) : ways;
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
