import { inBase } from "@limbwright/shared/quantity";
import type {
  Action,
  Comparison,
  CuffChoice,
  Moment,
  Protocol,
  StateCondition,
  Step,
} from "../../language/model/index.ts";
import { isUp, type Limits, type State, secondsOf } from "./protocol-state.ts";

/** What a walk through a protocol asks of it, and of a state in it. */
export class World {
  readonly protocol: Protocol;
  readonly limits: Limits;
  /** Whether a cuff may lose its pressure, once in a run. */
  readonly hasLeaks: boolean;
  readonly cuffs: readonly string[];
  readonly #lists: readonly (readonly Step[])[];
  readonly #asked: ReadonlySet<string>;

  constructor(protocol: Protocol, limits: Limits, hasLeaks: boolean) {
    this.protocol = protocol;
    this.limits = limits;
    this.hasLeaks = hasLeaks;
    this.cuffs = (protocol.cuffs?.cuffs ?? []).map(({ name }) => name);
    const { steps = [], emergencies } = protocol;
    this.#lists = [steps, ...emergencies.map((emergency) => emergency.steps)].map((list) => [
      ...flattened(list),
    ]);
    this.#asked = new Set(askedMoments(protocol));
  }

  /** A moment comes to pass, if anything counts from it. */
  passes(state: State, moment: string): void {
    if (this.#asked.has(moment)) state.since[moment] = 0;
  }

  chosen(choice: CuffChoice): readonly string[] {
    return choice.kind === "all" ? this.cuffs : [choice.name];
  }

  anyUp(state: State): boolean {
    return this.cuffs.some((cuff) => isUp(state, cuff));
  }

  momentOfTimer(name: string): string {
    const from = this.protocol.timers.find((timer) => timer.name === name)?.from;
    return from ? momentName(from) : "";
  }

  inflatesOtherLater(step: Step & { readonly kind: "deflate" }): boolean {
    const own = this.chosen(step.cuffs);
    const list = this.#lists.find((steps) => steps.includes(step)) ?? [];
    const later = list.slice(list.indexOf(step) + 1);
    return later.some(
      (other) => other.kind === "inflate" && this.chosen(other.cuffs).some((cuff) => !own.includes(cuff)),
    );
  }

  /** Whether a cuff is let down to save limb or life: somebody decides, and danger alone leads there or, after signs, an answer. */
  savesLimbOrLife(step: Step & { readonly kind: "deflate" }, phase: State["phase"]): boolean {
    if (!step.forEmergency || step.roles.length === 0) return false;
    return phase === "emergency"
      ? this.#isAsked(step) || this.#isInDanger(step, ["limb-at-risk", "cardiac-arrest"])
      : phase === "plan" && this.#isInDanger(step, ["limb-at-risk", "cardiac-arrest", "toxicity-signs"]);
  }

  #isAsked(step: Step): boolean {
    const letsDown = (steps: readonly Step[]) => [...flattened(steps)].some(({ kind }) => kind === "deflate");
    return this.#lists.flat().some((ask) => {
      if (ask.kind !== "ask") return false;
      const [yes, no] = [[...flattened(ask.yes)], [...flattened(ask.no)]];
      return (yes.includes(step) && !letsDown(ask.no)) || (no.includes(step) && !letsDown(ask.yes));
    });
  }

  #isInDanger(step: Step, dangers: readonly string[]): boolean {
    const { emergencies, throughout } = this.protocol;
    const [plan = [], ...lists] = this.#lists;
    const at = lists.findIndex((steps) => steps.includes(step));
    const name = emergencies[at]?.name;
    const leads = (steps: readonly Step[]) =>
      [...flattened(steps)].some((one) => one.kind === "go-to-emergency" && one.emergency === name);
    const inStages = this.#lists.flat().flatMap((one) => (one.kind === "stage" ? one.handlers : []));
    const leading = [...throughout, ...inStages].filter(({ steps }) => leads(steps));
    const isElsewhere = leads(plan) || lists.some(leads);
    return (
      name !== undefined &&
      !isElsewhere &&
      leading.every((one) => one.kind === "event" && dangers.includes(one.event))
    );
  }

  /** Only the actions that the random protocols speak of. */
  does(step: Step, action: Action): boolean {
    if (step.kind !== action.kind) return false;
    if ("dose" in action) return "dose" in step && step.dose === action.dose;
    if (!("cuffs" in action)) return true;
    return (
      "cuffs" in step && this.chosen(action.cuffs).every((cuff) => this.chosen(step.cuffs).includes(cuff))
    );
  }

  holds(state: State, condition: StateCondition): boolean {
    switch (condition.kind) {
      case "and":
        return this.holds(state, condition.left) && this.holds(state, condition.right);
      case "or":
        return this.holds(state, condition.left) || this.holds(state, condition.right);
      case "not":
        return !this.holds(state, condition.of);
      case "cuff": {
        const least = { up: 1, flat: 0, confirmed: 2 }[condition.state];
        return this.chosen(condition.cuffs).every((cuff) => {
          const is = state.facts[`cuff ${cuff}`] ?? 0;
          return least === 0 ? is === 0 : is >= least;
        });
      }
      case "bandage":
        return (state.facts.bandage === 1) === condition.on;
      case "cannula":
        return (state.facts.cannula === 1) === condition.in;
      case "drug-in-limb":
        return (state.facts.drug ?? 0) > 0;
      case "occluded":
        return this.anyUp(state);
      case "since":
        return compares(
          state.since[momentName(condition.moment)],
          condition.comparison,
          secondsOf(condition.limit),
        );
      case "timer":
        return compares(
          state.since[this.momentOfTimer(condition.timer)],
          condition.comparison,
          inBase(condition.limit).valueOf(),
        );
    }
  }
}

export function* flattened(steps: readonly Step[]): Generator<Step> {
  for (const step of steps) {
    yield step;
    if (step.kind === "stage" || step.kind === "do" || step.kind === "repeat") yield* flattened(step.steps);
    if (step.kind === "ask") yield* flattened([...step.yes, ...step.no]);
    if (step.kind === "confirm") yield* flattened(step.otherwise ?? []);
  }
}

/** The moments that timers and requirements count from. */
function askedMoments({ timers, requirements }: Protocol): string[] {
  const ofTimers = timers.flatMap(({ from }) => (from ? [momentName(from)] : []));
  const conditions = requirements.flatMap(({ property }) =>
    "condition" in property ? [property.condition] : [],
  );
  return [...ofTimers, ...conditions.flatMap(momentsIn)];
}

function momentsIn(condition: StateCondition): string[] {
  switch (condition.kind) {
    case "and":
    case "or":
      return [...momentsIn(condition.left), ...momentsIn(condition.right)];
    case "not":
      return momentsIn(condition.of);
    default:
      return condition.kind === "since" ? [momentName(condition.moment)] : [];
  }
}

function momentName(moment: Moment): string {
  if (moment.kind === "first-inflation") return "first inflation";
  return moment.kind === "release" ? "release" : `${moment.kind} of ${moment.target}`;
}

/** Before the moment every comparison is false. */
function compares(time: number | undefined, comparison: Comparison, limit: number): boolean {
  if (time === undefined) return false;
  return { under: time < limit, over: time > limit, least: time >= limit, most: time <= limit }[comparison];
}
