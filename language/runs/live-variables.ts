import {
  type Automaton,
  type Check,
  type Condition,
  type Edge,
  interruptedBy,
  locationOf,
  NOTHING,
  type State,
  VARIABLES_FROM,
} from "@limbwright/shared/runtime";
import { LEAKED } from "./automaton/facts.ts";

/**
 * Forgets what nobody asks any more: gives a function that sets, in a state, every variable to its first
 * value that is not read again from there on before it is set anew. States that differ in nothing else are
 * then the same, and runs through them are explored once. `kept` are never forgotten: variables, and clocks whose
 * resets may ask for variables.
 */
export function forgetDeadVariables(
  automaton: Automaton,
  kept: (name: string) => boolean,
): (state: State) => State {
  const ways = new Ways(new Reading(automaton, false), [
    { location: automaton.initial, interrupted: NOTHING },
  ]);
  const live = findLive(automaton, ways, kept);
  // A cuff leaks once in a run, and most rules are no longer judged after it: much that they ask is then dead.
  const leaked = automaton.variables.findIndex(({ name }) => name === LEAKED.variable);
  const hasLeaks = automaton.edges.some(({ kind }) => kind === "leak");
  const liveLater = hasLeaks
    ? findLive(automaton, new Ways(new Reading(automaton, true), ways.places), kept)
    : live;
  const deadOf = new DeadSlots(automaton);
  const deadBefore = live.map((): readonly Slot[] | undefined => undefined);
  const deadLater = [...deadBefore];
  return (state) => {
    const place = ways.numberOf({ location: locationOf(state), interrupted: interruptedBy(state) });
    const names = live[place];
    if (names === undefined) throw new Error("a run has come to where no edge leads");
    const hasLeaked = state[VARIABLES_FROM + leaked] === LEAKED.is;
    const known = hasLeaked ? deadLater : deadBefore;
    const dead =
      known[place] ?? deadOf.where(hasLeaked ? (liveLater[place] ?? NONE) | (names & bit(leaked)) : names);
    known[place] = dead;
    if (dead.every(({ slot, first }) => state[slot] === first)) return state;
    const next = [...state];
    for (const { slot, first } of dead) next[slot] = first;
    return next;
  };
}

/** The place of a variable in a state, with its first value. */
interface Slot {
  readonly slot: number;
  readonly first: number;
}

/** A set of variables and clocks: one bit for each, the variables first. */
type Names = bigint;

const NONE: Names = 0n;

function bit(at: number): Names {
  return 1n << BigInt(at);
}

/** The variables that nobody asks any more, for each set of those that somebody does: many places have the same. */
class DeadSlots {
  readonly #automaton: Automaton;
  readonly #known = new Map<Names, readonly Slot[]>();

  constructor(automaton: Automaton) {
    this.#automaton = automaton;
  }

  where(live: Names): readonly Slot[] {
    const known = this.#known.get(live);
    if (known) return known;
    const dead = this.#automaton.variables.flatMap(({ first }, at) =>
      (live & bit(at)) === NONE ? [{ slot: VARIABLES_FROM + at, first }] : [],
    );
    this.#known.set(live, dead);
    return dead;
  }
}

/**
 * A location with the one it interrupted. What is read when a handler is over depends on where it goes back to: one that runs late
 * in the plan keeps nothing that only an early step asks.
 */
interface Place {
  readonly location: number;
  readonly interrupted: number;
}

/** The places that runs would come to if no condition kept them from it, from some on, and where they go on from each. */
class Ways {
  readonly #reading: Reading;
  readonly #numbers = new Map<number, number>();
  readonly places: Place[] = [];
  /** For each place, what leads there. */
  readonly leading: { readonly flow: Flow; readonly from: number }[][] = [];

  constructor(reading: Reading, starts: readonly Place[]) {
    this.#reading = reading;
    for (const start of starts) this.#add(start);
    for (let from = 0; from < this.places.length; from += 1) {
      const place = this.places[from] as Place;
      for (const flow of reading.flowsFrom(place.location)) {
        this.leading[this.#add(leadsTo(flow.edge, place))]?.push({ flow, from });
      }
    }
  }

  numberOf({ location, interrupted }: Place): number {
    return this.#numbers.get(this.#keyOf(location, interrupted)) ?? -1;
  }

  /** What is read in a place, whatever comes after it. */
  readsIn(place: number): Names {
    return this.#reading.byLocation((this.places[place] as Place).location);
  }

  #add(place: Place): number {
    const known = this.numberOf(place);
    if (known >= 0) return known;
    this.leading.push([]);
    this.#numbers.set(this.#keyOf(place.location, place.interrupted), this.places.length);
    return this.places.push(place) - 1;
  }

  #keyOf(location: number, interrupted: number): number {
    return location * (this.#reading.automaton.locations.length + 1) + interrupted + 1;
  }
}

function leadsTo({ to, interrupts, forgets }: Edge, { location, interrupted }: Place): Place {
  if (to === "interrupted") return { location: interrupted, interrupted: NOTHING };
  const later = interrupts ? location : interrupted;
  return { location: to === "same" ? location : to, interrupted: forgets ? NOTHING : later };
}

/** For each place, what may still be read: carried back along the ways until nothing changes. */
function findLive(automaton: Automaton, ways: Ways, kept: (name: string) => boolean): Names[] {
  const names = [...automaton.variables.map(({ name }) => name), ...automaton.clocks];
  const always = union(names.map((name, at) => (kept(name) ? bit(at) : NONE)));
  const live = ways.places.map((_, place) => always | ways.readsIn(place));
  // What comes late in a run first: what is read there is then known where most ways lead back to.
  const waiting = new Set([...live.keys()].reverse());
  for (const place of waiting) {
    waiting.delete(place);
    const after = live[place] ?? NONE;
    for (const { flow, from } of ways.leading[place] ?? []) {
      const known = live[from] ?? NONE;
      const now = known | flow.reads | liveBefore(flow, after);
      if (now === known) continue;
      live[from] = now;
      waiting.add(from);
    }
  }
  return live;
}

/** What an edge reads whatever comes after it, and what it does to variables and clocks. */
interface Flow {
  readonly edge: Edge;
  readonly reads: Names;
  readonly assigned: Names;
  readonly assignments: readonly Assigned[];
}

interface Assigned {
  readonly name: Names;
  /** What its new value depends on. */
  readonly reads: Names;
  /** Whether it gets a new value that owes nothing to the one it had. */
  readonly isOverwritten: boolean;
}

/** What is read afterwards only to be counted on, or to be set if something is so, is not live for that. */
function liveBefore({ assigned, assignments }: Flow, after: Names): Names {
  if ((assigned & after) === NONE) return after;
  const wanted = assignments.filter(({ name }) => (name & after) !== NONE);
  const overwritten = union(wanted.map(({ name, isOverwritten }) => (isOverwritten ? name : NONE)));
  return (after & ~overwritten) | union(wanted.map(({ reads }) => reads));
}

/** A condition that is so in any case, or in none; else what it reads. */
type Asked = boolean | Names;

/** What parts of an automaton read and set; in the runs alone in which a cuff has leaked, if so wanted. */
class Reading {
  readonly automaton: Automaton;
  readonly #hasLeaked: boolean;
  readonly #bits: ReadonlyMap<string, Names>;
  readonly #clockBits: ReadonlyMap<string, Names>;
  readonly #checks: readonly Names[];
  readonly #here: readonly Names[];
  readonly #flows: readonly Flow[][];

  constructor(automaton: Automaton, hasLeaked: boolean) {
    this.automaton = automaton;
    this.#hasLeaked = hasLeaked;
    const { variables, clocks } = automaton;
    this.#bits = new Map(variables.map(({ name }, at) => [name, bit(at)]));
    this.#clockBits = new Map(clocks.map((clock, at) => [clock, bit(variables.length + at)]));
    this.#checks = automaton.checks.map((check) => this.#byCheck(check));
    this.#here = automaton.locations.map(
      ({ checks, atMost = [] }) => this.#byChecks(checks) | this.#byClocks(atMost),
    );
    this.#flows = automaton.locations.map(() => []);
    for (const edge of automaton.edges) {
      const flow = this.#byEdge(edge);
      if (flow) for (const from of edge.from) this.#flows[from]?.push(flow);
    }
  }

  /** What leaves a location. */
  flowsFrom(location: number): readonly Flow[] {
    return this.#flows[location] ?? [];
  }

  /** What is read in a location, whatever leaves it. */
  byLocation(location: number): Names {
    return this.#here[location] ?? NONE;
  }

  /** Undefined where no such run takes it. */
  #byEdge(edge: Edge): Flow | undefined {
    const { when, guard = [], set = [], reset = [], checks } = edge;
    const asked = this.#ask(when);
    if (asked === false) return undefined;
    const assigned = (name: Names, only: Condition | undefined, more: Names, isOverwritten: boolean) => {
      const isDone = this.#ask(only);
      if (isDone === false) return [];
      return [{ name, reads: readsOf(isDone) | more, isOverwritten: isOverwritten && isDone === true }];
    };
    const assignments = [
      ...set.flatMap(({ variable, to, plus, when: only }) => {
        const name = this.#bits.get(variable) ?? NONE;
        return assigned(name, only, plus === undefined ? NONE : name, to !== undefined);
      }),
      ...reset.flatMap(({ clock, when: only }) => assigned(this.#clockBit(clock), only, NONE, true)),
    ];
    return {
      edge,
      reads: readsOf(asked) | this.#byClocks(guard) | this.#byChecks(checks),
      assigned: union(assignments.map(({ name }) => name)),
      assignments,
    };
  }

  #byChecks(checks: readonly number[] = []): Names {
    return union(checks.map((number) => this.#checks[number] ?? NONE));
  }

  #byCheck({ when, clocks = [] }: Check): Names {
    const asked = this.#ask(when);
    return asked === false ? NONE : readsOf(asked) | this.#byClocks(clocks);
  }

  #byClocks(limits: readonly { readonly clock: string }[]): Names {
    return union(limits.map(({ clock }) => this.#clockBit(clock)));
  }

  #clockBit(clock: string): Names {
    return this.#clockBits.get(clock) ?? NONE;
  }

  #ask(condition: Condition | undefined): Asked {
    if (!condition) return true;
    if ("variable" in condition) return this.#askVariable(condition);
    if ("not" in condition) {
      const asked = this.#ask(condition.not);
      return typeof asked === "boolean" ? !asked : asked;
    }
    if ("all" in condition) return this.#askEach(condition.all, true);
    return "any" in condition ? this.#askEach(condition.any, false) : NONE;
  }

  #askVariable(condition: Extract<Condition, { readonly variable: string }>): Asked {
    if (!this.#hasLeaked || condition.variable !== LEAKED.variable) {
      return this.#bits.get(condition.variable) ?? NONE;
    }
    return "is" in condition ? condition.is === LEAKED.is : condition.atLeast <= LEAKED.is;
  }

  /** All or any of some conditions; `neutral` is what they come to when there are none. */
  #askEach(conditions: readonly Condition[], neutral: boolean): Asked {
    const asked = conditions.map((one) => this.#ask(one));
    if (asked.includes(!neutral)) return !neutral;
    const open = asked.filter((one) => typeof one !== "boolean");
    return open.length === 0 ? neutral : union(open);
  }
}

function readsOf(asked: Asked): Names {
  return typeof asked === "boolean" ? NONE : asked;
}

function union(sets: readonly Names[]): Names {
  return sets.reduce((all, one) => all | one, NONE);
}
