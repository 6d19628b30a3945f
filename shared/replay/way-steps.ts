import { ruleKey } from "../runtime/broken.ts";
import {
  type Automaton,
  type AutomatonStep,
  type Edge,
  isEmergency,
  isStepClock,
  locationOf,
  type Move,
  type MovesOf,
  movesOf,
  type State,
} from "../runtime/index.ts";
import { startsAStep } from "../runtime/program.ts";
import { keysOfEdges, type Named, type ToldEvent } from "./known-events.ts";
import { Remembered } from "./remembered.ts";
import {
  type Ask,
  type Asked,
  AT_NOW,
  constant,
  type Moment,
  NOW,
  type Taken,
  type Term,
  termOf,
  type Way,
} from "./way.ts";

/** What takes nothing but time: nobody has to tell it. */
function isTimeOnly({ step }: Edge): boolean {
  return step !== undefined && TIME_ONLY.has(step.kind);
}

const TIME_ONLY: ReadonlySet<AutomatonStep["kind"]> = new Set(["wait", "wait-for", "watch", "recovery"]);

export interface WayOptions {
  /** How much later than its moment something may come before it counts as late. */
  readonly grace: number;
}

/** The single steps of which a way from a place of a protocol to something that is told is made. */
export class WaySteps {
  readonly automaton: Automaton;
  readonly movesAt: MovesOf;
  readonly #keys: readonly string[];
  readonly #grace: number;
  readonly #clocks: ReadonlyMap<string, number>;
  /** Behind those of the clocks: the number of when the run came where it is, and of when something was told last. */
  readonly #last: number;
  readonly #told: number;

  constructor(automaton: Automaton, { grace }: WayOptions) {
    this.automaton = automaton;
    this.#keys = keysOfEdges(automaton);
    this.movesAt = remembering(movesOf(automaton));
    this.#grace = grace;
    this.#clocks = new Map(automaton.clocks.map((clock, number) => [clock, number]));
    this.#last = automaton.clocks.length;
    this.#told = this.#last + 1;
  }

  beginning(state: State): WaySoFar {
    const began = this.automaton.clocks.map((_, base): Moment => ({ base, plus: 0 }));
    const here: Moment = { base: this.#last, plus: 0 };
    const isDuring = this.#kindOf(state) === "during";
    const latest = isDuring ? this.#latestHere(state, began) : { base: this.#told, plus: 0 };
    const nothing = { moves: [], asks: [], broken: [], leftOut: [], untold: [] };
    return { state, began, at: here, latest, isNow: false, ...nothing };
  }

  movesOf(state: State): [Move, Edge][] {
    return this.movesAt(state).moves.flatMap((move): [Move, Edge][] => {
      const edge = this.automaton.edges[move.edge];
      return edge ? [[move, edge]] : [];
    });
  }

  #kindOf(state: State): string {
    return this.automaton.locations[locationOf(state)]?.kind ?? "end";
  }

  /** What is told comes to pass here, now. */
  arrive(draft: WaySoFar, move: Move, edge: Edge): Way {
    const isLimited = !isEmergency(this.automaton.locations[locationOf(draft.state)]?.phase ?? "end");
    const { latest } = draft;
    const late =
      latest && isLimited
        ? [this.#inTime(move.edge, { from: latest.base, to: NOW, is: "at-most", seconds: latest.plus })]
        : [];
    const passing = draft.isNow ? [] : this.#dueUntil(draft, AT_NOW, move.edge);
    const asked: Asked = edge.kind === "end" ? { kind: "early", edge: move.edge } : { kind: "order" };
    const before = { ...draft, asks: [...draft.asks, ...late, ...passing] };
    const { began, state, asks, moves, broken, leftOut, untold } = this.#makeMove(
      before,
      move,
      edge,
      AT_NOW,
      asked,
    );
    const resets = began.flatMap((at, clock) => (at.base === clock && at.plus === 0 ? [] : [{ clock, at }]));
    return { moves, asks: inOrder(asks), broken, resets, target: state, leftOut, untold, edge: move.edge };
  }

  /** What may have happened without anybody telling it. */
  goSilently(draft: WaySoFar, move: Move, edge: Edge, event: ToldEvent): WaySoFar[] {
    const { state, at } = draft;
    if (edge.kind === "leak" || (edge.kind === "event" && !edge.due)) return [];
    if (edge.kind === "finish" && event.kind !== "finish") return [];
    if (edge.due) return this.#due(draft, move, edge);
    if (this.#kindOf(state) === "before") {
      if (startsAStep(this, edge)) return this.#untoldStart(draft, move, edge, event);
      return edge.decision ? [] : [this.#resume(this.#makeMove(draft, move, edge, at, { kind: "order" }))];
    }
    return edge.kind === "end" ? this.#untoldEnd(draft, move, edge) : [];
  }

  /** The step in hand ends as soon as it may, or as what is told comes. */
  #untoldEnd(draft: WaySoFar, move: Move, edge: Edge): WaySoFar[] {
    const { state, at, isNow } = draft;
    const untold = edge.decision ? [...draft.untold, edge.says] : draft.untold;
    const ends: WaySoFar[] = [];
    if (!isNow) {
      const ready = this.#readyAt(draft, edge);
      const passing = this.#dueUntil(draft, ready, move.edge);
      const asks = [...draft.asks, ...passing, ...between(at, ready), ...between(ready, AT_NOW)];
      const latest = edge.decision ? this.#latestHere(state, draft.began) : draft.latest;
      ends.push(this.#makeMove({ ...draft, asks, untold, latest }, move, edge, ready, { kind: "order" }));
    }
    const passing = isNow ? [] : this.#dueUntil(draft, AT_NOW, move.edge);
    const now = { ...draft, isNow: true, asks: [...draft.asks, ...passing], untold };
    ends.push(this.#makeMove(now, move, edge, AT_NOW, { kind: "early", edge: move.edge }));
    return ends;
  }

  /** What is due comes at its moment, or at once where that is past. */
  #due(draft: WaySoFar, move: Move, edge: Edge): WaySoFar[] {
    const { at, isNow, began } = draft;
    const [condition] = edge.guard ?? [];
    if (!condition) return [this.#makeMove(draft, move, edge, at, { kind: "order" })];
    const clock = began[this.#clock(condition.clock)] ?? at;
    const moment: Moment = { base: clock.base, plus: clock.plus + condition.seconds };
    const atOnce = this.#makeMove(draft, move, edge, at, { kind: "order" });
    if (isNow) return [atOnce];
    const asks = [...draft.asks, ...between(at, moment), ...between(moment, AT_NOW)];
    const later = this.#makeMove({ ...draft, asks, latest: moment }, move, edge, moment, { kind: "order" });
    return this.#kindOf(draft.state) === "during" ? [atOnce, later] : [atOnce];
  }

  #untoldStart(draft: WaySoFar, move: Move, edge: Edge, event: ToldEvent): WaySoFar[] {
    const isOwn = event.kind === "end" && event.key === this.#keys[move.edge];
    const isStruck = event.kind === "event" || event.kind === "leak";
    if (!isOwn && !isStruck && !isTimeOnly(edge)) return [];
    if (isOwn) return [this.#startBefore(draft, move, edge)];
    const untold = isTimeOnly(edge) ? draft.untold : [...draft.untold, edge.says];
    const started = this.#makeMove({ ...draft, untold }, move, edge, draft.at, { kind: "order" });
    return [{ ...started, latest: this.#latestAfter(draft, started) }];
  }

  /** The start of a step of which the end alone is told: as late as the step allows, and not before it could start. */
  #startBefore(draft: WaySoFar, move: Move, edge: Edge): WaySoFar {
    const untold = isTimeOnly(edge) ? draft.untold : [...draft.untold, edge.says];
    const end = this.movesOf(move.next).find(([, one]) => one.kind === "end" && !one.due);
    const shortest = end?.[1].guard?.find(
      ({ is, clock }) => is === "at-least" && move.resets.includes(clock),
    );
    const seconds = shortest?.seconds ?? 0;
    const { at } = draft;
    const asked: Asked = { kind: "early", edge: end?.[0].edge ?? move.edge };
    const lasted: Ask = {
      asked,
      terms: [{ from: at.base, to: NOW, is: "at-least", seconds: seconds + at.plus }],
    };
    const before = { ...draft, untold, asks: [...draft.asks, lasted], latest: undefined };
    return this.#makeMove(before, move, edge, { base: NOW, plus: -seconds }, { kind: "order" });
  }

  /** Back in a step that was interrupted, its own limit counts again. */
  #resume(draft: WaySoFar): WaySoFar {
    if (this.#kindOf(draft.state) !== "during") return draft;
    return { ...draft, latest: this.#latestHere(draft.state, draft.began) };
  }

  /** A step is passed over: it starts and ends at once, and the record tells neither. */
  passOver(draft: WaySoFar, move: Move, edge: Edge): WaySoFar[] {
    if (edge.kind === "answer") {
      const passed = { ...draft, leftOut: [...draft.leftOut, this.#named(move, edge)] };
      return [this.#makeMove(passed, move, edge, draft.at, { kind: "order" }, true)];
    }
    if (!startsAStep(this, edge) || isTimeOnly(edge)) return [];
    const started = this.#makeMove(draft, move, edge, draft.at, undefined, true);
    const ends = this.movesOf(started.state).find(([, { kind, due }]) => kind === "end" && !due);
    if (!ends) return [];
    const ended = this.#makeMove(started, ends[0], ends[1], draft.at, undefined, true);
    return [{ ...ended, leftOut: [...draft.leftOut, this.#named(move, edge)] }];
  }

  #named({ edge: number }: Move, { says }: Edge): Named {
    return { key: this.#keys[number] ?? "", says };
  }

  /** What is due by itself may be told as well, where it is an event. */
  isTold({ edge: number }: Move, { kind, due }: Edge, event: ToldEvent): boolean {
    if (event.kind === "finish") return kind === "finish";
    return kind === event.kind && this.#keys[number] === event.key && (!due || kind === "event");
  }

  #makeMove(
    draft: WaySoFar,
    move: Move,
    edge: Edge,
    at: Moment,
    asked: Asked | undefined,
    passedOver = false,
  ): WaySoFar {
    const asks: Ask[] = (asked ? (edge.guard ?? []) : []).map((condition) => ({
      asked: asked as Asked,
      terms: [termOf(condition, this.#beganOf(draft, condition.clock), at)],
    }));
    const rules = passedOver ? { asks: [], broken: [] } : this.#rulesOf(draft, move, edge, at);
    const began = [...draft.began];
    for (const clock of move.resets) began[this.#clock(clock)] = at;
    const taken: Taken = { edge: move.edge, at, passedOver };
    return {
      ...draft,
      state: move.next,
      began,
      at,
      isNow: draft.isNow || at.base === NOW,
      moves: [...draft.moves, taken],
      asks: [...draft.asks, ...asks, ...rules.asks],
      broken: [...draft.broken, ...rules.broken],
    };
  }

  /** What a move breaks: its own checks, and as a step starts those of the place it leads to that are not broken already. */
  #rulesOf(draft: WaySoFar, move: Move, edge: Edge, at: Moment): { asks: Ask[]; broken: number[] } {
    const keyOf = (check: number) => ruleKey(this.automaton.checks[check]);
    const before = this.movesAt(draft.state).checks.map(keyOf);
    const there = startsAStep(this, edge)
      ? this.movesAt(move.next).checks.filter((check) => !before.includes(keyOf(check)))
      : [];
    const asks: Ask[] = [];
    const broken: number[] = [];
    for (const check of new Set([...move.checks, ...there])) {
      const terms = (this.automaton.checks[check]?.clocks ?? []).map((condition) =>
        termOf(condition, this.#beganOf(draft, condition.clock), at),
      );
      if (terms.some((term) => constant(term) === false)) continue;
      const open = terms.filter((term) => constant(term) === undefined);
      if (open.length === 0) broken.push(check);
      else asks.push({ asked: { kind: "rule", check }, terms: open });
    }
    return { asks, broken };
  }

  /** Whatever else is due where the run is does not come before a moment. */
  #dueUntil(draft: WaySoFar, at: Moment, but: number): Ask[] {
    return this.movesOf(draft.state).flatMap(([move, edge]): Ask[] => {
      if (!edge.due || move.edge === but) return [];
      return (edge.guard ?? []).map((condition) =>
        this.#inTime(
          move.edge,
          termOf({ ...condition, is: "at-most" }, this.#beganOf(draft, condition.clock), at),
        ),
      );
    });
  }

  /** Late is what comes after its time, and after the last thing that was told: a handler may have held it up. */
  #inTime(edge: number, term: Term): Ask {
    const sinceTold = { from: this.#told, to: NOW, is: "at-most", seconds: 0 } as const;
    const terms = [term, sinceTold].map((one) => ({ ...one, seconds: one.seconds + this.#grace }));
    return { asked: { kind: "late", edge, grace: this.#grace }, terms };
  }

  #readyAt(draft: WaySoFar, edge: Edge): Moment {
    const condition = edge.guard?.find(({ is }) => is === "at-least");
    if (!condition) return draft.at;
    const began = this.#beganOf(draft, condition.clock);
    return { base: began.base, plus: began.plus + condition.seconds };
  }

  /** By when the step in hand has to be over; undefined without limit. */
  #latestHere(state: State, began: readonly Moment[]): Moment | undefined {
    const limits = this.automaton.locations[locationOf(state)]?.atMost ?? [];
    const own = limits.find(({ clock }) => isStepClock(clock)) ?? limits[0];
    const from = own && began[this.#clock(own.clock)];
    return own && from && { base: from.base, plus: from.plus + own.seconds };
  }

  /** The latest end of a step that nobody told, after the latest end of the one before it. */
  #latestAfter(before: WaySoFar, { state, began }: WaySoFar): Moment | undefined {
    const limits = this.automaton.locations[locationOf(state)]?.atMost ?? [];
    const own = limits.find(({ clock }) => isStepClock(clock));
    if (!own) return this.#latestHere(state, began);
    return before.latest && { base: before.latest.base, plus: before.latest.plus + own.seconds };
  }

  #beganOf({ began }: WaySoFar, clock: string): Moment {
    return began[this.#clock(clock)] as Moment;
  }

  #clock(name: string): number {
    return this.#clocks.get(name) ?? this.#last;
  }
}

/** The same places are come to on many ways. */
function remembering(movesAt: MovesOf): MovesOf {
  const remembered = new Remembered<ReturnType<MovesOf>>();
  return (state) => remembered.of(state.join(" "), () => movesAt(state));
}

/** A way as far as it is worked out. */
export interface WaySoFar extends Pick<Way, "moves" | "asks" | "broken" | "leftOut" | "untold"> {
  readonly state: State;
  readonly began: readonly Moment[];
  readonly at: Moment;
  /** By when what is told next has to come; undefined without limit. */
  readonly latest: Moment | undefined;
  /** Whether it has come to the time of what is told. */
  readonly isNow: boolean;
}

/** One moment does not come before another. */
function between(first: Moment, second: Moment): Ask[] {
  const seconds = first.plus - second.plus;
  const term = { from: first.base, to: second.base, is: "at-least", seconds } as const;
  return constant(term) ? [] : [{ asked: { kind: "order" }, terms: [term] }];
}

/** Whether nothing that has to be so is never so. */
export function isPossible({ asks }: Pick<Way, "asks">): boolean {
  return asks.every(
    ({ asked, terms: [term] }) => asked.kind !== "order" || !term || constant(term) !== false,
  );
}

/** What rules a way out is asked first; what is always so, not at all. */
function inOrder(asks: readonly Ask[]): Ask[] {
  const rank = ({ asked }: Ask) => (asked.kind === "order" ? 0 : 1);
  const isOpen = ({ asked, terms: [term] }: Ask) =>
    asked.kind === "rule" || term === undefined || constant(term) !== true;
  return asks.filter(isOpen).sort((a, b) => rank(a) - rank(b));
}
