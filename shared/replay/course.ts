import { brokenRules, firstTimeWithout, isOnlyTooLate, ruleKey } from "../runtime/broken.ts";
import { type Edge, isStepClock, keyOfStep, locationOf, type RunEvent } from "../runtime/index.ts";
import type { Standing } from "../runtime/machine.ts";
import { brokenByTaking, nextEdges } from "../runtime/offer.ts";
import { isBetweenSteps, isOver, nameOfPlace, type Program } from "../runtime/program.ts";
import type { Notes } from "./case-rows.ts";
import { type Deviation, placeOf } from "./deviation.ts";
import { FINISH, type Named, type Told, type ToldEvent } from "./known-events.ts";
import { bestReading } from "./readings.ts";
import { Reality } from "./reality.ts";
import { Slip, type SlipFacts } from "./slip.ts";
import { slipsOn } from "./slips-on-way.ts";
import type { BrokenCheck, Measured, Place, Stepper, WayTo } from "./stepper.ts";
import type { Way } from "./way.ts";
import { outOfPlaceWords } from "./words.ts";

/**
 * One case on its way through a protocol. After a slip the protocol goes on from where the team went on, as if the slip had not
 * been; beside it runs what was really done, so that what follows from a slip is told with it and not as another.
 */
export class Course {
  readonly began: Float64Array;
  /** The deviations that may be none where a row of the case is lost. */
  readonly unsure = new Set<Deviation>();
  place: Place;
  readonly #program: Program;
  readonly #stepper: Stepper;
  readonly #notes: Notes;
  readonly #slips: Slip[] = [];
  /** The breaks of rules that were told, with the slip that they were told with. */
  readonly #broken = new Map<string, Slip>();
  /** Steps done before their place: there they are not missed. */
  readonly #doneEarly: string[] = [];
  /** Steps whose end belongs to something that was dealt with where it started. */
  readonly #aside: string[] = [];
  #real: Reality | undefined;
  /** By how much what came too late was late, together, and the last slip of that kind. */
  #late: { readonly seconds: number; readonly slip: Slip | undefined } = { seconds: 0, slip: undefined };
  /** For how long nobody knows when a timer began. */
  #slack = 0;

  constructor(program: Program, stepper: Stepper, notes: Notes) {
    this.#program = program;
    this.#stepper = stepper;
    this.#notes = notes;
    this.began = new Float64Array(stepper.clocks + 2);
    this.place = stepper.first;
  }

  get isOver(): boolean {
    return isOver(this.#program, this.#standing());
  }

  get isBetweenSteps(): boolean {
    return isBetweenSteps(this.#program, this.#standing());
  }

  /** The step in hand, or what the case is before. */
  get inHand(): string {
    return nameOfPlace(this.#program, this.#standing());
  }

  /** Whether nothing more is to be told before the protocol is at its end. */
  isAtEnd(at: number): boolean {
    return this.isOver || this.#stepper.findClean(this.place, FINISH, this.began, at) !== undefined;
  }

  deviations(): Deviation[] {
    const { file } = this.#program;
    return this.#slips.flatMap((slip) => {
      const deviations = slip.deviations((edge) => placeOf(file, `/runs/automaton/edges/${edge}`));
      for (const one of deviations) if (slip.mayBeMissing(one)) this.unsure.add(one);
      return deviations;
    });
  }

  /** Takes what is told; `next` gives what is told after it, which is asked for only where something is amiss. */
  take(told: Told, next: () => readonly Told[]): void {
    const { event, at } = told;
    if (event.kind === "end" && takeOut(this.#aside, event.key)) {
      this.#doneBeside(told, this.#slips.at(-1));
      return;
    }
    const clean =
      event.kind === "leak" ? undefined : this.#stepper.findClean(this.place, event, this.began, at);
    if (clean) this.#go(clean, told);
    else if (!this.#isDoneLater(told)) this.#takeAmiss(told, next());
  }

  #takeAmiss(told: Told, next: readonly Told[]): void {
    const best = bestReading(this.#stepper, this, told, next, (way) => this.#findMissed(way));
    if (best) this.#goOn(this.#strictest(best, told), told);
    else if (told.event.kind === "end" || told.event.kind === "finish")
      this.#notes.add("end-again", told.line);
    else this.#isOutOfPlace(told);
  }

  #go(way: WayTo, told: Told): void {
    for (const _ of way.untold) this.#notes.add("untold", told.line);
    if (way.leftOut.length > 0) this.#real ??= this.#reality();
    this.#real?.goAlong(way, this.began, { ...told, slip: this.#slips.at(-1) });
    this.place = this.#stepper.go(way, this.began, told.at);
    if (this.#real?.isLike(this.place.state, this.began)) this.#real = undefined;
  }

  #strictest(best: Measured, { event, at }: Told): Measured {
    const ways = this.#stepper.waysWithin(this.place, event);
    return this.#stepper.strictest(best, ways, this.began, at);
  }

  /** The protocol goes on along a way on which something is amiss. */
  #goOn(measured: Measured, told: Told): void {
    const { way } = measured;
    const missed = this.#findMissed(way);
    // When a timer began that was to begin with what was left out nobody knows: time lost over it is held against nobody.
    if (missed.length > 0 && this.#startsTimer(way)) {
      this.#slack += told.at - (this.began[this.#stepper.clocks + 1] as number);
    }
    const isHeld = ({ by }: { readonly by: number }) => by > this.#slack + this.#stepper.grace;
    const late = missed.length > 0 ? [] : measured.late.filter(isHeld);
    const rules = measured.rules.filter((rule) => !this.#isToldAlready(rule, told));
    const edge = missed[0] && this.#edgeOf("start", missed[0]);
    const found = slipsOn(this.#program, { ...measured, late, rules }, told, { missed, edge });
    for (const { facts, broken, overdue } of found) {
      const slip = this.#report(facts);
      for (const rule of broken) this.#broken.set(this.#keyOf(rule), slip);
      if (overdue > 0) this.#late = { seconds: this.#late.seconds + overdue, slip };
    }
    for (const { key } of way.leftOut) takeOut(this.#doneEarly, key);
    this.#go(way, told);
  }

  /** Whether a break of a rule is told with an earlier slip: it goes on, or would not be if nothing before had come too late. */
  #isToldAlready(rule: BrokenCheck, { at, line }: Told): boolean {
    const key = this.#keyOf(rule);
    if (this.#broken.has(key)) return true;
    const { seconds, slip } = this.#late;
    const check = this.#program.automaton.checks[rule.check];
    if (!slip || !check || !isOnlyTooLate(this.#program, rule.check) || -(rule.by ?? 0) > seconds)
      return false;
    this.#broken.set(key, slip);
    slip.noteLaterRule(check, at, line);
    return true;
  }

  /** A step that was left out is done after all: then it was the order that was wrong. */
  #isDoneLater(told: Told): boolean {
    const { event } = told;
    if (event.kind !== "start") return false;
    const slip = this.#slips.findLast((one) => one.isDoneLater(event));
    if (!slip) return false;
    this.#aside.push(event.key);
    this.#doneBeside(told, slip);
    return true;
  }

  #isOutOfPlace(told: Told): void {
    const { event, at, line } = told;
    const isStep = event.kind === "start";
    const isRelease = event.kind === "leak" || (isStep && event.step?.kind === "deflate");
    const kind = isRelease
      ? "unplanned-release"
      : isStep && event.isKnown
        ? "wrong-order"
        : "not-in-protocol";
    const { broken, from } = isStep ? this.#rulesOutOfPlace(event, at) : { broken: [], from: undefined };
    const slip = this.#report({
      kind,
      what: event.says,
      at,
      line,
      ...(from !== undefined && { by: from - at }),
      rules: brokenRules(this.#program, broken),
      edge: this.#edgeOf(event.kind, event) ?? -1,
      isKnown: event.isKnown && (isStep || event.kind === "event"),
      words: outOfPlaceWords(event.says, at, this.#nextSteps()),
    });
    this.#noteTold(at);
    if (!isStep) return;
    if (this.#stepper.waysAhead(this.place, event).length > 0) this.#doneEarly.push(event.key);
    this.#aside.push(event.key);
    this.#doneBeside(told, slip);
  }

  /** What the protocol has between two steps, where it does not go on by itself. */
  #nextSteps(): string[] {
    const standing = this.#standing();
    const isStep = ({ step }: Edge) => step && this.#edgeOf("start", { key: keyOfStep(step) }) !== undefined;
    if (!isBetweenSteps(this.#program, standing)) return [];
    return nextEdges(this.#program, standing)
      .filter(isStep)
      .map(({ says }) => says);
  }

  #rulesOutOfPlace({ step }: ToldEvent, at: number) {
    if (!step) return { broken: [], from: undefined };
    const standing = this.#standing();
    const event: RunEvent = { kind: "start", step };
    const taking = brokenByTaking(this.#program, standing, event);
    const brokenAt = (time: number) => taking(time).filter((check) => !isOnlyTooLate(this.#program, check));
    const broken = brokenAt(at);
    const from = broken.length > 0 ? firstTimeWithout(this.#program, standing, at, brokenAt) : undefined;
    return { broken, from };
  }

  #doneBeside({ event, at, line }: Told, slip: Slip | undefined): void {
    this.#noteTold(at);
    const edge = this.#edgeOf(event.kind, event);
    if (edge === undefined) return;
    this.#real ??= this.#reality();
    this.#real.happenBeside(edge, this.place.state, { at, line, slip });
  }

  #reality(): Reality {
    return new Reality(this.#program, this.#stepper, this.place.state, this.began);
  }

  /** What is told beside the protocol takes time too: what follows is not late for that. */
  #noteTold(at: number): void {
    this.began[this.#stepper.clocks + 1] = at;
  }

  #report(facts: SlipFacts): Slip {
    const slip = new Slip(facts);
    this.#slips.push(slip);
    return slip;
  }

  /** The steps that a way passes over and that were not done before. */
  #findMissed({ leftOut }: Way): Named[] {
    const early = [...this.#doneEarly];
    return leftOut.filter(({ key }) => !takeOut(early, key));
  }

  /** Whether a step that is passed over starts a clock that goes on after it. */
  #startsTimer({ moves }: Way): boolean {
    const { edges } = this.#program.automaton;
    return moves.some(
      ({ edge, passedOver }) => passedOver && edges[edge]?.reset?.some(({ clock }) => !isStepClock(clock)),
    );
  }

  /** One break of a rule: as long as its clocks go on, it is the same one. */
  #keyOf({ check, began }: BrokenCheck): string {
    return `${ruleKey(this.#program.automaton.checks[check])} ${began}`;
  }

  #standing(): Standing {
    const { clocks } = this.#program.automaton;
    const began = Object.fromEntries(clocks.map((clock, index) => [clock, this.began[index] as number]));
    return { state: this.place.state, at: this.began[this.#stepper.clocks] as number, began };
  }

  #edgeOf(kind: string, { key }: Pick<Named, "key">): number | undefined {
    const { edges } = this.#program.automaton;
    const isIt = (edge: Edge, number: number) => edge.kind === kind && this.#stepper.keys[number] === key;
    const here = edges.findIndex(
      (edge, number) => edge.from.includes(locationOf(this.place.state)) && isIt(edge, number),
    );
    const found = here >= 0 ? here : edges.findIndex(isIt);
    return found < 0 ? undefined : found;
  }
}

/** Takes a key out of a list; whether it was there. */
function takeOut(list: string[], key: string): boolean {
  const index = list.indexOf(key);
  if (index >= 0) list.splice(index, 1);
  return index >= 0;
}
