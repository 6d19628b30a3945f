import type { Handler, Step } from "../../language/model/index.ts";
import { answersToLeak, hasReached, inForce, isOfLeak, isOfSigns, isTreatment } from "./protocol-answers.ts";
import { foundAtEnd, foundAtFinish, foundAtLeak, foundAtStart } from "./protocol-breaches.ts";
import { effectAtEnd, effectAtStart, isDecision, lasts, leak } from "./protocol-effects.ts";
import {
  copied,
  isOnlyEmergency,
  isUp,
  keyOf,
  LONGEST_CLOCK,
  longestOf,
  type Move,
  move,
  type Stage,
  type State,
  secondsOf,
  shortestOf,
} from "./protocol-state.ts";
import { afterInside, openStages, stagesIn, Todos } from "./protocol-todos.ts";
import type { World } from "./protocol-world.ts";

/**
 * Goes through a run of a small protocol second by second, as the language says what its steps mean. It reads the model of the
 * protocol and nothing else: not the automaton, not the runtime.
 */
export class Walker {
  readonly #world: World;
  readonly #todos = new Todos();

  constructor(world: World) {
    this.#world = world;
  }

  keyOf(state: State): string {
    return this.#todos.keyOf(state);
  }

  first(): State {
    const end = this.#todos.todo({ kind: "end", origin: this.#world.protocol.nameOrigin }, undefined);
    return {
      inHand: undefined,
      elapsed: 0,
      todo: this.#todos.listed(this.#world.protocol.steps ?? [], end),
      interrupted: undefined,
      phase: "plan",
      since: {},
      facts: {},
    };
  }

  /** What may happen in a state: a step starts or ends, an event strikes, a second passes. */
  moves(state: State): Move[] {
    if (state.inHand === undefined && state.todo === undefined) return [];
    const due = this.#due(state);
    if (due.length > 0) return due;
    if (state.inHand === undefined) return this.#next(state);
    return [...this.#ends(state), ...this.#events(state), ...this.#leaks(state), ...this.#second(state)];
  }

  /** Once in a run a cuff that is up may lose its pressure, wherever something is in hand and not in an answer to toxicity signs. */
  #leaks(state: State): Move[] {
    if (!this.#world.hasLeaks || state.phase === "emergency" || state.facts.leaked === 1) return [];
    return this.#world.cuffs
      .filter((cuff) => isUp(state, cuff))
      .map((cuff) => {
        const found = foundAtLeak(this.#world, state, cuff);
        const next = copied(state);
        leak(this.#world, next, cuff);
        if (state.inHand?.kind === "inject") this.#stopInjection(next, state.inHand);
        return move(next, { decisions: 1, found });
      });
  }

  /** What is left in the syringe is not given. */
  #stopInjection(state: State, injection: Step & { readonly kind: "inject" }): void {
    state.inHand = undefined;
    state.elapsed = 0;
    delete state.facts.stopped;
    effectAtEnd(this.#world, state, injection);
  }

  /** What goes before everything else. */
  #due(state: State): Move[] {
    const handlers = inForce(this.#world, this.#todos, state).filter(
      ({ handler }) => handler.kind === "reaches",
    );
    const due = handlers.filter(({ handler }) => hasReached(this.#world, state, handler));
    const moves = [...due, ...answersToLeak(this.#world, this.#todos, state)].map(({ handler, stage }) =>
      move(this.#interrupt(state, handler, stage)),
    );
    if (state.inHand?.kind === "inject" && state.facts.stopped === 1 && state.phase !== "handler") {
      const over = copied(state);
      this.#stopInjection(over, state.inHand);
      moves.push(move(over));
    }
    if (state.phase === "handler") return moves;
    const over = openStages(state).filter(
      (stage) =>
        state.facts[`touched ${stage.name}`] === 1 &&
        (state.since[`in ${stage.name}`] ?? 0) >= (longestOf(stage) ?? Number.POSITIVE_INFINITY),
    );
    return [...moves, ...over.map((stage) => move(this.#leaveStage(state, stage)))];
  }

  #events(state: State): Move[] {
    const limits = openStages(state).map(
      (stage) => [state.since[`in ${stage.name}`] ?? 0, longestOf(stage)] as const,
    );
    const own = [this.#ownTime(state), this.#longest(state)] as const;
    const body = state.phase === "handler" ? [own] : [own, ...limits];
    if (body.some(([time, longest]) => longest !== undefined && time > longest)) return [];
    return inForce(this.#world, this.#todos, state).flatMap(({ handler, stage }) => {
      if (handler.kind !== "event" || isOfLeak(handler)) return [];
      const began = stage ? state.since[`in ${stage.name}`] : state.since["first inflation"];
      if (handler.notBefore && (began ?? 0) < secondsOf(handler.notBefore)) return [];
      return [move(this.#interrupt(state, handler, stage), { decisions: 1 })];
    });
  }

  #interrupt(state: State, handler: Handler, stage: Stage | undefined): State {
    const next = copied(state);
    if (handler.kind === "reaches" || handler.times !== undefined) {
      const ran = `ran ${this.#todos.objectId(handler)}`;
      next.facts[ran] = (next.facts[ran] ?? 0) + 1;
    }
    if (isOfLeak(handler)) delete next.facts["leak waits"];
    if (isOfSigns(handler)) {
      next.facts.signs = 1;
      if (state.facts.begun === 1) next.facts["toxicity seen"] = 1;
    }
    if (isOnlyEmergency(handler)) {
      const [only] = handler.steps;
      return only?.kind === "go-to-emergency" ? this.#emergency(next, only.emergency) : next;
    }
    next.interrupted = { inHand: state.inHand, elapsed: state.elapsed, todo: state.todo };
    next.phase = "handler";
    next.inHand = undefined;
    next.elapsed = 0;
    // What follows the handler within its stage is kept apart, so that `end stage` finds the stages around it.
    next.todo = this.#todos.listed(
      handler.steps,
      this.#todos.todo({ kind: "go-on" }, stage ? afterInside(state.todo, stage) : undefined),
    );
    return next;
  }

  #second(state: State): Move[] {
    const longest = this.#longest(state);
    if (longest !== undefined && this.#ownTime(state) >= longest) return [];
    if (state.phase !== "handler") {
      for (const stage of openStages(state)) {
        const most = longestOf(stage);
        if (most !== undefined && (state.since[`in ${stage.name}`] ?? 0) >= most) return [];
      }
    }
    const next = copied(state);
    next.elapsed = Math.min(next.elapsed + 1, LONGEST_CLOCK);
    for (const clock of Object.keys(next.since)) {
      next.since[clock] = Math.min((next.since[clock] ?? 0) + 1, LONGEST_CLOCK);
    }
    if (next.interrupted) {
      next.interrupted = {
        ...next.interrupted,
        elapsed: Math.min(next.interrupted.elapsed + 1, LONGEST_CLOCK),
      };
    }
    return [move(next, { seconds: 1 })];
  }

  /** How long the step in hand has lasted; a wait for a timer counts on the timer. */
  #ownTime(state: State): number {
    const { inHand } = state;
    if (inHand && inHand.kind === "wait-for")
      return state.since[this.#world.momentOfTimer(inHand.timer)] ?? 0;
    return state.elapsed;
  }

  #longest({ inHand }: State): number | undefined {
    if (!inHand || inHand.kind === "end-of-stage") return undefined;
    return lasts(this.#world, inHand as Step)[1];
  }

  #shortest({ inHand }: State): number {
    return lasts(this.#world, inHand as Step)[0];
  }

  #ends(state: State): Move[] {
    const { inHand } = state;
    if (!inHand) return [];
    if (inHand.kind === "end-of-stage") {
      const { stage } = inHand;
      return (state.since[`in ${stage.name}`] ?? 0) >= shortestOf(stage)
        ? [move(this.#leaveStage(state, stage))]
        : [];
    }
    const step = inHand as Step;
    if (this.#ownTime(state) < this.#shortest(state)) return [];
    const over = copied(state);
    over.inHand = undefined;
    over.elapsed = 0;
    const [shortest, longest] = lasts(this.#world, step);
    const ended = copied(over);
    effectAtEnd(this.#world, ended, step);
    const decisions = step.kind === "task" && shortest !== longest ? 1 : 0;
    const moves = [move(ended, { decisions, found: foundAtEnd(this.#world, state, step) })];
    if (step.kind === "confirm" && step.otherwise) {
      const failed = copied(over);
      for (const cuff of this.#world.chosen(step.cuffs))
        if (isUp(failed, cuff)) failed.facts[`cuff ${cuff}`] = 1;
      failed.todo = this.#todos.listed(step.otherwise, failed.todo);
      moves.push(move(failed, { decisions: 1 }));
    }
    return moves;
  }

  #next(state: State): Move[] {
    const { todo } = state;
    if (!todo) return [];
    const rest = copied(state);
    rest.todo = todo.next;
    switch (todo.item.kind) {
      case "end":
        return [this.#finish(state, todo.item.origin)];
      case "go-on":
        return [move(this.#goOn(state))];
      case "round":
        return [move(this.#nextRound(rest, todo.item.step, todo.item.left))];
      case "end-of-stage": {
        const { stage } = todo.item;
        if ((state.since[`in ${stage.name}`] ?? 0) >= shortestOf(stage))
          return [move(this.#leaveStage(state, stage))];
        // The stage is still around, so its end stays on the list.
        const waits = copied(state);
        waits.inHand = todo.item;
        waits.elapsed = 0;
        return [move(waits)];
      }
      default:
        return this.#begin(state, rest, todo.item.step);
    }
  }

  #begin(state: State, rest: State, step: Step): Move[] {
    switch (step.kind) {
      case "do":
        rest.todo = this.#todos.listed(step.steps, rest.todo);
        return [move(rest)];
      case "repeat":
        return [move(this.#nextRound(rest, step, step.times))];
      case "ask":
        return [step.yes, step.no].map((steps) => {
          const answered = copied(rest);
          answered.todo = this.#todos.listed(steps, rest.todo);
          if (isDecision(step)) delete answered.facts.undecided;
          return move(answered, { decisions: 1 });
        });
      case "stage":
        rest.since[`in ${step.name}`] = 0;
        this.#world.passes(rest, `start of ${step.name}`);
        delete rest.facts[`touched ${step.name}`];
        for (const handler of step.handlers) delete rest.facts[`ran ${this.#todos.objectId(handler)}`];
        rest.todo = this.#todos.listed(
          step.steps,
          this.#todos.todo({ kind: "end-of-stage", stage: step }, rest.todo),
        );
        return [move(rest)];
      case "end-stage": {
        const stage = stagesIn(state.todo).find(
          ({ name }) => step.stage === undefined || name === step.stage,
        );
        return stage ? [move(this.#leaveStage(state, stage))] : [move(rest)];
      }
      case "go-to-emergency":
        return [move(this.#emergency(rest, step.emergency))];
      case "finish":
        return [this.#finish(state, step.origin)];
      case "wait-for": {
        const time = state.since[this.#world.momentOfTimer(step.timer)];
        if (time === undefined) {
          const endsRun = state.facts.leaked !== 1;
          const slip = { key: keyOf("timer-never-starts", step.origin, step.timer), endsRun };
          return [move(rest, { found: state.phase === "emergency" ? [] : [slip] })];
        }
        if (time >= lasts(this.#world, step)[0]) return [move(rest)];
        break;
      }
    }
    rest.inHand = step;
    rest.elapsed = 0;
    const found = foundAtStart(this.#world, state, step);
    if (step.kind === "inject" && state.phase !== "handler") delete rest.facts.stopped;
    effectAtStart(this.#world, rest, step);
    return [move(rest, { found })];
  }

  #nextRound(rest: State, step: Step & { readonly kind: "repeat" }, left: number): State {
    if (left > 0)
      rest.todo = this.#todos.listed(
        step.steps,
        this.#todos.todo({ kind: "round", step, left: left - 1 }, rest.todo),
      );
    return rest;
  }

  /** Ends a stage, with every stage in it that is open. */
  #leaveStage(state: State, stage: Stage): State {
    const next = copied(state);
    this.#leaveInjection(state, next);
    const isFromHandler = state.phase === "handler";
    for (let rest = state.todo; rest; rest = rest.next) {
      if (rest.item.kind === "end-of-stage") this.#world.passes(next, `end of ${rest.item.stage.name}`);
      if (rest.item.kind !== "end-of-stage" || rest.item.stage !== stage) continue;
      next.todo = rest.next;
      break;
    }
    next.inHand = undefined;
    next.elapsed = 0;
    if (isFromHandler) {
      next.phase = "plan";
      delete next.facts.signs;
      next.interrupted = undefined;
      this.#touch(next);
    }
    return next;
  }

  #goOn(state: State): State {
    const next = copied(state);
    Object.assign(next, state.interrupted);
    next.interrupted = undefined;
    next.phase = "plan";
    delete next.facts.signs;
    this.#touch(next);
    return next;
  }

  /** A handler has taken of the time of the stages around. */
  #touch(state: State): void {
    for (const stage of openStages(state)) {
      if (longestOf(stage) !== undefined) state.facts[`touched ${stage.name}`] = 1;
    }
  }

  /** Nobody comes back to an injection that is left in hand, or that a handler has interrupted. */
  #leaveInjection(left: State, next: State): void {
    const hand = left.phase === "handler" ? left.interrupted?.inHand : left.inHand;
    const isOwn = left.inHand?.kind === "inject" ? left.inHand : undefined;
    for (const one of new Set([hand, isOwn])) {
      if (one?.kind === "inject") effectAtEnd(this.#world, next, one);
    }
  }

  #emergency(state: State, name: string): State {
    const emergency = this.#world.protocol.emergencies.find((one) => one.name === name);
    if (!emergency) throw new Error(`there is no emergency ${name}`);
    const next = copied(state);
    this.#leaveInjection(state, next);
    if (state.facts.signs === 1 || (state.facts["leak released"] === 1 && isTreatment(this.#world, name))) {
      next.phase = "emergency";
      // Only a limb without a cuff is judged there, and of the timers only `hold` is waited for.
      const counted = Object.entries(next.since).filter(([name]) => ["hold", "end of local"].includes(name));
      next.since = Object.fromEntries(counted);
      const kept = Object.entries(next.facts).filter(
        ([name]) =>
          ["drug", "toxicity seen", "leaked", "in force"].includes(name) || name.startsWith("cuff "),
      );
      next.facts = Object.fromEntries(kept);
    } else {
      next.phase = "plan";
      next.facts[`begun ${name}`] = 1;
    }
    next.interrupted = undefined;
    next.inHand = undefined;
    next.elapsed = 0;
    next.todo = this.#todos.listed(
      emergency.steps,
      this.#todos.todo({ kind: "end", origin: emergency.nameOrigin }, undefined),
    );
    return next;
  }

  #finish(state: State, origin: Step["origin"]): Move {
    const next = copied(state);
    next.todo = undefined;
    next.inHand = undefined;
    next.interrupted = undefined;
    return move(next, {
      found: foundAtFinish(this.#world, state, origin),
    });
  }
}
