import { type BrokenRule, brokenRules, firstTimeWithout, isOnlyTooLate } from "../runtime/broken.ts";
import {
  firstState,
  INTERRUPTED,
  isBroken,
  LOCATION,
  locationOf,
  type RunEvent,
  type State,
} from "../runtime/index.ts";
import { brokenByTaking, nextSteps } from "../runtime/offer.ts";
import type { Program } from "../runtime/program.ts";
import type { Consequence, Deviation, DeviationKind } from "./deviation.ts";
import type { ToldEvent } from "./known-events.ts";
import { momentValue } from "./moment.ts";
import type { Notes } from "./notes.ts";
import { placeOf } from "./places.ts";
import type { BrokenCheck, Measured, Place, Stepper, WayTo } from "./stepper.ts";
import type { Way } from "./way.ts";
import { breaksWords, earlyWords, lateWords, leftOutWords, orderWords, outOfPlaceWords } from "./words.ts";

/** So many of the events that follow say which of several readings of a slip fits best. */
export const LOOK_AHEAD = 8;

/** A deviation as long as the case goes on: what it leads to is added. */
interface OpenDeviation {
  kind: DeviationKind;
  what: string;
  at: number;
  line: number;
  by?: number;
  rules: BrokenRule[];
  steps?: string[];
  /** What came before the steps that were left out, and which of them were done later. */
  before?: string;
  doneLater?: string[];
  ledTo: Consequence[];
  edge: number;
  words: string;
}

/** What is told, when and in which line. */
export interface Told {
  readonly event: ToldEvent;
  readonly at: number;
  readonly line: number;
}

/** What was really done where it differs from what the protocol goes on with. */
interface Reality {
  state: State;
  readonly began: Float64Array;
}

/**
 * One case on its way through a protocol. After a slip the protocol goes on from where the team went on, as if the slip had not
 * been; beside it runs what was really done, so that what follows from a slip is told with it and not as another.
 */
export class Course {
  readonly began: Float64Array;
  place: Place;
  readonly #program: Program;
  readonly #stepper: Stepper;
  readonly #notes: Notes;
  readonly #found: OpenDeviation[] = [];
  readonly #broken = new Map<string, OpenDeviation>();
  /** Steps done before their place: there they are not missed. */
  readonly #doneEarly: string[] = [];
  /** Steps whose end belongs to something that was dealt with where it started. */
  readonly #aside: string[] = [];
  #real: Reality | undefined;
  /** By how much what came too late was late, together. */
  #late: { readonly seconds: number; readonly because: OpenDeviation | undefined } = {
    seconds: 0,
    because: undefined,
  };
  #slack = 0;
  #last: OpenDeviation | undefined;

  constructor(program: Program, stepper: Stepper, notes: Notes) {
    this.#program = program;
    this.#stepper = stepper;
    this.#notes = notes;
    this.began = new Float64Array(stepper.clocks + 2);
    this.place = stepper.placeOf(firstState(program.automaton));
  }

  /** Whether what really is and what the protocol goes on with are the same, and no step beside it waits for its end. */
  get isPlain(): boolean {
    return this.#real === undefined && this.#aside.length === 0;
  }

  /** Takes what is told; `next` is what is told after it. */
  take(told: Told, next: readonly Told[]): void {
    const { event, at } = told;
    if (this.#isEndOfAside(event)) return this.#happensBeside(told);
    const clean = event.kind === "leak" ? undefined : this.#stepper.clean(this.place, event, this.began, at);
    if (clean) return this.#go(clean, told);
    if (this.#completes(told)) return;
    const candidates = [
      ...this.#stepper.measured(this.#stepper.within(this.place, event), this.began, at).slice(0, 2),
      ...this.#stepper.measured(this.#stepper.ahead(this.place, event), this.began, at).slice(0, 1),
    ];
    const best = this.#best(candidates, told, next);
    if (best) this.#goesOn(best, told);
    else this.#isOutOfPlace(told);
  }

  /** Whether nothing more is to be told before the protocol is at its end. */
  isAtEnd(finish: ToldEvent, at: number): boolean {
    return this.isOver || this.#stepper.clean(this.place, finish, this.began, at) !== undefined;
  }

  get isOver(): boolean {
    return this.#program.automaton.locations[locationOf(this.place.state)]?.kind === "end";
  }

  get inHand(): string {
    return this.#program.automaton.locations[locationOf(this.place.state)]?.name ?? "";
  }

  deviations(): Deviation[] {
    return this.#found
      .flatMap(resolved)
      .map(({ edge, by, steps, before: _before, doneLater: _done, ...rest }) => {
        const place = placeOf(this.#program.file, `/runs/automaton/edges/${edge}`);
        return {
          ...rest,
          ...(by !== undefined && {
            by: { value: String(Math.round(by * 1000) / 1000), unit: "s" as const },
          }),
          ...(steps && { steps }),
          ...(place && { place }),
        };
      });
  }

  #go(way: WayTo, told: Told): void {
    for (const _ of way.untold) this.#notes.add("untold", told.line);
    this.#inReality(way, told);
    this.place = this.#stepper.go(way, this.began, told.at);
    this.#compare();
  }

  /** Which reading fits what follows best: a way on, or, undefined, that it was done beside the protocol. */
  #best(candidates: readonly Measured[], told: Told, next: readonly Told[]): Measured | undefined {
    const { event, at } = told;
    const readings = candidates.map((candidate) => {
      const began = this.began.slice();
      const place = this.#stepper.go(candidate.way, began, at);
      const missed = this.#missed(candidate.way);
      const slips = missed.length + (isAmiss(candidate) ? 1 : 0);
      return { candidate, fit: this.#fit(place, began, next, missed), slips };
    });
    const beside = this.#fit(this.place, this.began.slice(), next, [event.says]);
    const best = readings.sort((a, b) => b.fit - a.fit || a.slips - b.slips)[0];
    if (!best) return undefined;
    const isForced = event.kind === "leak" || event.kind === "finish" || event.kind === "end";
    if (isForced && missedOf(best.candidate) === 0) return best.candidate;
    if (event.kind === "finish") return best.candidate;
    if (best.fit !== beside) return best.fit > beside ? best.candidate : undefined;
    return best.slips <= 1 ? best.candidate : undefined;
  }

  /** How many of the next events fit, with what is done beside (`free`) counted as fitting. */
  #fit(from: Place, began: Float64Array, next: readonly Told[], free: readonly string[]): number {
    let place = from;
    let fit = 0;
    for (const { event, at } of next) {
      const [best] = this.#stepper.measured(this.#stepper.within(place, event), began, at);
      if (best) {
        fit += isAmiss(best) ? 0 : 1;
        place = this.#stepper.go(best.way, began, at);
      } else if (free.includes(event.says)) fit += 1;
      else return fit;
    }
    return fit;
  }

  /** The protocol goes on along a way, on which something is amiss. */
  #goesOn(measured: Measured, told: Told): void {
    const { way, early, rules } = measured;
    const { at, line, event } = told;
    const missed = this.#missed(way);
    // When a timer began that was to begin with what was left out nobody knows: time lost over it is held against nobody.
    if (missed.length > 0 && this.#startsTimer(way)) this.#slack += at - (this.began[this.#stepper.clocks + 1] as number);
    const late =
      missed.length > 0 ? [] : measured.late.filter(({ by }) => by > this.#slack + this.#stepper.grace);
    const isNew = rules.filter((rule) => !this.#broken.has(this.#keyOf(rule)));
    const lateRules = isNew.filter(
      (rule) => isOnlyTooLate(this.#program, rule.check) && !this.#isLateFromBefore(rule, told),
    );
    const otherRules = isNew.filter(({ check }) => !isOnlyTooLate(this.#program, check));
    const base = { what: event.says, at, line, ledTo: [], edge: way.edge };
    const names = (broken: readonly BrokenCheck[]) =>
      brokenRules(
        this.#program,
        broken.map(({ check }) => check),
      );
    if (missed.length > 0) {
      this.#report(
        {
          ...base,
          kind: "left-out",
          what: missed.join(", "),
          steps: missed,
          before: event.says,
          edge: this.#edgeOf("start", missed[0] as string) ?? way.edge,
          rules: names(otherRules),
          words: leftOutWords(missed, event.kind === "finish" ? "the end" : event.says, at),
        },
        otherRules,
      );
    } else if (event.kind === "leak") {
      const words = `${event.says} at ${this.#clock(at)}: a release that nobody planned.`;
      const by = Math.max(0, ...otherRules.map(({ by: one = 0 }) => one));
      const more = by > 0 ? { by } : {};
      this.#report(
        { ...base, ...more, kind: "unplanned-release", rules: names(otherRules), words },
        otherRules,
      );
    } else if (early.length > 0 || otherRules.length > 0) {
      const by = Math.max(0, ...early.map((one) => one.by), ...otherRules.map(({ by: one = 0 }) => one));
      const cut = early.find((one) => one.edge !== way.edge)?.edge;
      const what = event.says;
      const rulesBroken = names(otherRules);
      this.#report(
        by > 0
          ? {
              ...base,
              kind: "too-early",
              by,
              rules: rulesBroken,
              words: earlyWords(what, at, by, this.#says(cut)),
            }
          : { ...base, kind: "breaks-rule", rules: rulesBroken, words: breaksWords(what, at, rulesBroken) },
        otherRules,
      );
    }
    if (late.length > 0 || lateRules.length > 0) {
      const overdue = Math.max(0, ...late.map((one) => one.by));
      const by = Math.max(overdue, ...lateRules.map(({ by: one = 0 }) => -one));
      const due = late.find((one) => one.edge !== way.edge)?.edge;
      const words = lateWords(event.says, at, by, this.#says(due));
      this.#report({ ...base, kind: "too-late", by, rules: names(lateRules), words }, lateRules);
      if (overdue > 0) this.#late = { seconds: this.#late.seconds + overdue, because: this.#last };
    }
    for (const says of way.leftOut) take(this.#doneEarly, says);
    this.#go(way, told);
  }

  /** Whether a step that is passed over starts a clock that goes on after it. */
  #startsTimer({ moves }: Way): boolean {
    const { edges } = this.#program.automaton;
    return moves.some(
      ({ edge, passedOver }) =>
        passedOver && edges[edge]?.reset?.some(({ clock }) => clock !== "step" && !clock.startsWith("step of")),
    );
  }

  /** A time that would have been kept, had nothing before come too late, is put down to that. */
  #isLateFromBefore(rule: BrokenCheck, { at, line }: Told): boolean {
    const { seconds, because } = this.#late;
    const check = this.#program.automaton.checks[rule.check];
    if (!because || !check || -(rule.by ?? 0) > seconds) return false;
    this.#broken.set(this.#keyOf(rule), because);
    const { rule: name, about } = check;
    const isTold = because.ledTo.some((one) => one.rule === name && one.about === about);
    if (!isTold) because.ledTo.push({ rule: name, ...(about !== undefined && { about }), at, line });
    return true;
  }

  /** A step that was left out is done after all: then it was the order that was wrong. */
  #completes({ event, at, line }: Told): boolean {
    if (event.kind !== "start") return false;
    const isMissing = ({ kind, steps = [], doneLater = [] }: OpenDeviation) =>
      kind === "left-out" && steps.includes(event.says) && !doneLater.includes(event.says);
    const left = this.#found.findLast(isMissing);
    if (!left) return false;
    left.doneLater = [...(left.doneLater ?? []), event.says];
    this.#aside.push(event.says);
    this.#doneBeside({ event, at, line }, left);
    return true;
  }

  #isOutOfPlace(told: Told): void {
    const { event, at, line } = told;
    if (event.kind === "end" || event.kind === "finish") {
      this.#notes.add("end-again", line);
      return;
    }
    const { automaton } = this.#program;
    const isStep = event.kind === "start";
    const isRelease = event.kind === "leak" || (isStep && /^deflate\b/.test(event.says));
    const rules = isStep ? this.#rulesOutOfPlace(event, at) : { broken: [], from: undefined };
    const isKnown = event.number >= 0;
    const kind = isRelease ? "unplanned-release" : isKnown && isStep ? "wrong-order" : "not-in-protocol";
    const by = rules.from === undefined ? {} : { by: rules.from - at };
    const edge = this.#edgeOf(event.kind, event.says) ?? -1;
    const next = nextSteps(this.#program, this.#standing()).filter((says) => says !== "");
    const isBefore = automaton.locations[locationOf(this.place.state)]?.kind === "before";
    const words = outOfPlaceWords(event.says, at, isBefore ? next : []);
    const base = { what: event.says, at, line, ledTo: [], edge, words };
    this.#report({ ...base, ...by, kind, rules: brokenRules(this.#program, rules.broken) }, []);
    this.#toldAt(at);
    if (!isStep) return;
    if (this.#stepper.ahead(this.place, event).length > 0) this.#doneEarly.push(event.says);
    this.#aside.push(event.says);
    this.#doneBeside(told, this.#last);
  }

  #rulesOutOfPlace(event: ToldEvent, at: number): { broken: readonly number[]; from: number | undefined } {
    const standing = this.#standing();
    const run = { kind: "start", step: event.says } as RunEvent;
    const taking = brokenByTaking(this.#program, standing, run);
    const brokenAt = (time: number) => taking(time).filter((check) => !isOnlyTooLate(this.#program, check));
    const broken = brokenAt(at);
    return {
      broken,
      from: broken.length > 0 ? firstTimeWithout(this.#program, standing, at, brokenAt) : undefined,
    };
  }

  #standing() {
    const { clocks } = this.#program.automaton;
    const began = Object.fromEntries(clocks.map((clock, index) => [clock, this.began[index] as number]));
    return { state: this.place.state, at: this.began[this.#stepper.clocks] as number, began };
  }

  #missed({ leftOut }: Way): string[] {
    const early = [...this.#doneEarly];
    return leftOut.filter((says) => !take(early, says));
  }

  #report(found: OpenDeviation, rules: readonly BrokenCheck[]): void {
    this.#found.push(found);
    this.#last = found;
    for (const rule of rules) this.#broken.set(this.#keyOf(rule), found);
  }

  /** One break of a rule: as long as its clocks go on, it is the same one. */
  #keyOf({ check, began }: BrokenCheck): string {
    const of = this.#program.automaton.checks[check];
    return `${of?.rule} ${of?.about ?? ""} ${began}`;
  }

  #isEndOfAside({ kind, says }: ToldEvent): boolean {
    return kind === "end" && this.#aside.includes(says);
  }

  #happensBeside(told: Told): void {
    take(this.#aside, told.event.says);
    this.#doneBeside(told, this.#last);
  }

  /** What is done beside the protocol changes what is so, not where the protocol is. */
  #doneBeside({ event, at, line }: Told, because: OpenDeviation | undefined): void {
    this.#toldAt(at);
    const edge = this.#edgeOf(event.kind, event.says);
    if (edge === undefined) return;
    this.#real ??= { state: this.place.state, began: this.began.slice() };
    this.#happen(edge, at, line, because, new Set());
    this.#real.state = located(this.#real.state, this.place.state);
  }

  /** What is told beside the protocol takes time too: what follows is not late for that. */
  #toldAt(at: number): void {
    this.began[this.#stepper.clocks + 1] = at;
  }

  #inReality(way: Way, told: Told): void {
    if (!this.#real && way.moves.every(({ passedOver }) => !passedOver)) return;
    this.#real ??= { state: this.place.state, began: this.began.slice() };
    const { checks } = this.#program.automaton;
    const expected = new Set(
      way.asks.flatMap(({ asked }) => (asked.kind === "rule" ? [ruleKey(checks[asked.check])] : [])),
    );
    for (const check of way.broken) expected.add(ruleKey(checks[check]));
    for (const { edge, at, passedOver } of way.moves) {
      if (!passedOver)
        this.#happen(edge, momentValue(at, this.began, told.at), told.line, this.#last, expected);
    }
    this.#real.state = located(this.#real.state, way.target);
  }

  /** Lets an edge do in reality what it does; rules that it breaks there only are put down to the slip before. */
  #happen(
    edge: number,
    at: number,
    line: number,
    because: OpenDeviation | undefined,
    expected: ReadonlySet<string>,
  ): void {
    const real = this.#real;
    const move = real && this.#stepper.forced(real.state, edge);
    if (!real || !move) return;
    const { clocks, checks } = this.#program.automaton;
    const standing = {
      state: real.state,
      at,
      began: Object.fromEntries(clocks.map((clock, index) => [clock, real.began[index] as number])),
    };
    for (const number of move.checks) {
      const check = checks[number];
      if (!check || expected.has(ruleKey(check)) || !isBroken(check, standing, at)) continue;
      const { rule, about } = check;
      const isTold = because?.ledTo.some((one) => one.rule === rule && one.about === about);
      const isOwn = because?.rules.some((one) => one.rule === rule && one.about === about);
      if (isTold || isOwn) continue;
      because?.ledTo.push({ rule, ...(about !== undefined && { about }), at, line });
    }
    real.state = move.next;
    for (const clock of move.resets) real.began[clocks.indexOf(clock)] = at;
  }

  /** Once nothing of a slip is left, there is one state again. */
  #compare(): void {
    const real = this.#real;
    if (!real || real.state.some((value, index) => value !== this.place.state[index])) return;
    const { clocks } = this.#stepper;
    for (let clock = 0; clock < clocks; clock += 1) if (real.began[clock] !== this.began[clock]) return;
    this.#real = undefined;
  }

  #edgeOf(kind: string, says: string): number | undefined {
    const found = this.#program.automaton.edges.findIndex((edge) => edge.kind === kind && edge.says === says);
    return found < 0 ? undefined : found;
  }

  #says(edge: number | undefined): string | undefined {
    return edge === undefined ? undefined : this.#program.automaton.edges[edge]?.says;
  }

  #clock(at: number): string {
    return `${Math.floor(at / 60)}:${String(Math.floor(at % 60)).padStart(2, "0")}`;
  }
}

/** Steps that were left out and then done were in the wrong order; those that were never done stay left out. */
function resolved(found: OpenDeviation): OpenDeviation[] {
  const { steps = [], doneLater = [], before = "" } = found;
  if (doneLater.length === 0) return [found];
  const never = steps.filter((step) => !doneLater.includes(step));
  const words = orderWords(before, doneLater, found.at);
  const order: OpenDeviation = { ...found, kind: "wrong-order", what: before, steps: doneLater, words };
  if (never.length === 0) return [order];
  const leftOut = { what: never.join(", "), steps: never, words: leftOutWords(never, before, found.at) };
  return [order, { ...found, ...leftOut, rules: [], ledTo: [] }];
}

function missedOf({ way }: Measured): number {
  return way.leftOut.length;
}

function isAmiss({ early, late, rules }: Measured): boolean {
  return early.length + late.length + rules.length > 0;
}

function ruleKey(check: { readonly rule: string; readonly about?: string } | undefined): string {
  return `${check?.rule} ${check?.about ?? ""}`;
}

function located(state: State, at: State): State {
  return state.with(LOCATION, at[LOCATION] as number).with(INTERRUPTED, at[INTERRUPTED] as number);
}

/** Takes a text out of a list; whether it was there. */
function take(list: string[], text: string): boolean {
  const index = list.indexOf(text);
  if (index >= 0) list.splice(index, 1);
  return index >= 0;
}
