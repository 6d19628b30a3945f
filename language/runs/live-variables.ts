import {
  type Automaton,
  type Condition,
  type Edge,
  locationOf,
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
  const deadSlots = (live: readonly Names[]) =>
    live.map((names) =>
      automaton.variables.flatMap(({ first }, at) =>
        (names & bit(at)) === NOTHING ? [{ slot: VARIABLES_FROM + at, first }] : [],
      ),
    );
  const live = findLive(new Reading(automaton, false), kept);
  const before = deadSlots(live);
  // A cuff leaks once in a run, and most rules are no longer judged after it: much that they ask is then dead.
  const leaked = automaton.variables.findIndex(({ name }) => name === LEAKED.variable);
  const hasLeaks = automaton.edges.some(({ kind }) => kind === "leak");
  const liveLater = hasLeaks ? findLive(new Reading(automaton, true), kept) : live;
  const after = deadSlots(liveLater.map((names, at) => names | ((live[at] ?? NOTHING) & bit(leaked))));
  return (state) => {
    const hasLeaked = state[VARIABLES_FROM + leaked] === LEAKED.is;
    const dead = (hasLeaked ? after : before)[locationOf(state)] ?? [];
    if (dead.every(({ slot, first }) => state[slot] === first)) return state;
    const next = [...state];
    for (const { slot, first } of dead) next[slot] = first;
    return next;
  };
}

/** A set of variables and clocks: one bit for each, the variables first. */
type Names = bigint;

const NOTHING: Names = 0n;

function bit(at: number): Names {
  return 1n << BigInt(at);
}

/** For each location, what may still be read. */
function findLive(reading: Reading, kept: (name: string) => boolean): Names[] {
  const { automaton } = reading;
  const names = [...automaton.variables.map(({ name }) => name), ...automaton.clocks];
  const always = union(names.map((name, at) => (kept(name) ? bit(at) : NOTHING)));
  const live = automaton.locations.map(
    ({ checks, atMost = [] }) => always | reading.byChecks(checks) | reading.byClocks(atMost),
  );
  const flows = automaton.edges.flatMap((edge) => reading.byEdge(edge) ?? []);
  const interrupted = new Set(automaton.edges.flatMap(({ interrupts, from }) => (interrupts ? from : [])));
  while (flows.map((flow) => carryBack(flow, live, interrupted)).some(Boolean));
  return live;
}

/** What an edge reads whatever comes after it, and what it does to variables and clocks. */
interface Flow {
  readonly edge: Edge;
  readonly reads: Names;
  readonly assignments: readonly Assigned[];
}

interface Assigned {
  readonly name: Names;
  /** What its new value depends on. */
  readonly reads: Names;
  /** Whether it gets a new value that owes nothing to the one it had. */
  readonly isOverwritten: boolean;
}

function carryBack(
  { edge, reads, assignments }: Flow,
  live: Names[],
  interrupted: ReadonlySet<number>,
): boolean {
  const after = liveAfter(edge, live, interrupted);
  let changed = false;
  for (const from of edge.from) {
    const before = live[from] ?? NOTHING;
    const now = before | reads | liveBefore(assignments, edge.to === "same" ? before : after);
    if (now === before) continue;
    live[from] = now;
    changed = true;
  }
  return changed;
}

/** What is read afterwards only to be counted on, or to be set if something is so, is not live for that. */
function liveBefore(assignments: readonly Assigned[], after: Names): Names {
  const wanted = assignments.filter(({ name }) => (name & after) !== NOTHING);
  const overwritten = union(wanted.map(({ name, isOverwritten }) => (isOverwritten ? name : NOTHING)));
  return (after & ~overwritten) | union(wanted.map(({ reads }) => reads));
}

function liveAfter({ to }: Edge, live: readonly Names[], interrupted: ReadonlySet<number>): Names {
  if (to === "same") return NOTHING;
  if (to !== "interrupted") return live[to] ?? NOTHING;
  return [...interrupted].reduce((all, location) => all | (live[location] ?? NOTHING), NOTHING);
}

/** A condition that is so in any case, or in none; else what it reads. */
type Asked = boolean | Names;

/** What parts of an automaton read and set; in the runs alone in which a cuff has leaked, if so wanted. */
class Reading {
  readonly automaton: Automaton;
  readonly #hasLeaked: boolean;
  readonly #bits: ReadonlyMap<string, Names>;
  readonly #clockBits: ReadonlyMap<string, Names>;

  constructor(automaton: Automaton, hasLeaked: boolean) {
    this.automaton = automaton;
    this.#hasLeaked = hasLeaked;
    const { variables, clocks } = automaton;
    this.#bits = new Map(variables.map(({ name }, at) => [name, bit(at)]));
    this.#clockBits = new Map(clocks.map((clock, at) => [clock, bit(variables.length + at)]));
  }

  /** Undefined where no such run takes it. */
  byEdge(edge: Edge): Flow | undefined {
    const { when, guard = [], set = [], reset = [], checks } = edge;
    const asked = this.#ask(when);
    if (asked === false) return undefined;
    const assigned = (name: Names, only: Condition | undefined, more: Names, isOverwritten: boolean) => {
      const isDone = this.#ask(only);
      if (isDone === false) return [];
      return [{ name, reads: readsOf(isDone) | more, isOverwritten: isOverwritten && isDone === true }];
    };
    return {
      edge,
      reads: readsOf(asked) | this.byClocks(guard) | this.byChecks(checks),
      assignments: [
        ...set.flatMap(({ variable, to, plus, when: only }) => {
          const name = this.#bits.get(variable) ?? NOTHING;
          return assigned(name, only, plus === undefined ? NOTHING : name, to !== undefined);
        }),
        ...reset.flatMap(({ clock, when: only }) => assigned(this.#clockBit(clock), only, NOTHING, true)),
      ],
    };
  }

  byChecks(checks: readonly number[] = []): Names {
    return union(
      checks.map((number) => {
        const { when, clocks = [] } = this.automaton.checks[number] ?? {};
        const asked = this.#ask(when);
        return asked === false ? NOTHING : readsOf(asked) | this.byClocks(clocks);
      }),
    );
  }

  byClocks(limits: readonly { readonly clock: string }[]): Names {
    return union(limits.map(({ clock }) => this.#clockBit(clock)));
  }

  #clockBit(clock: string): Names {
    return this.#clockBits.get(clock) ?? NOTHING;
  }

  #ask(condition: Condition | undefined): Asked {
    if (!condition) return true;
    if ("variable" in condition) return this.#askVariable(condition);
    if ("not" in condition) {
      const asked = this.#ask(condition.not);
      return typeof asked === "boolean" ? !asked : asked;
    }
    if ("all" in condition) return this.#askEach(condition.all, true);
    return "any" in condition ? this.#askEach(condition.any, false) : NOTHING;
  }

  #askVariable(condition: Extract<Condition, { readonly variable: string }>): Asked {
    if (!this.#hasLeaked || condition.variable !== LEAKED.variable) {
      return this.#bits.get(condition.variable) ?? NOTHING;
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
  return typeof asked === "boolean" ? NOTHING : asked;
}

function union(sets: readonly Names[]): Names {
  return sets.reduce((all, one) => all | one, NOTHING);
}
