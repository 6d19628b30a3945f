import {
  type Automaton,
  type Condition,
  type Edge,
  locationOf,
  type State,
  VARIABLES_FROM,
} from "@limbwright/shared/runtime";

/**
 * Forgets what nobody asks any more: gives a function that sets, in a state, every variable to its first
 * value that is not read again from there on before it is set anew. States that differ in nothing else are
 * then the same, and runs through them are explored once. `kept` are never forgotten.
 */
export function forgetDeadVariables(
  automaton: Automaton,
  kept: (variable: string) => boolean,
): (state: State) => State {
  const live = liveAt(automaton, kept);
  const slots = live.map((mask) =>
    automaton.variables.flatMap(({ first }, at) =>
      (mask & bit(at)) === NOTHING ? [{ slot: VARIABLES_FROM + at, first }] : [],
    ),
  );
  return (state) => {
    const forgotten = slots[locationOf(state)] ?? [];
    if (forgotten.every(({ slot, first }) => state[slot] === first)) return state;
    const next = [...state];
    for (const { slot, first } of forgotten) next[slot] = first;
    return next;
  };
}

/** A set of variables: one bit for each. */
type Variables = bigint;

const NOTHING: Variables = 0n;

function bit(at: number): Variables {
  return 1n << BigInt(at);
}

/** For each location, the variables that may still be read. */
function liveAt(automaton: Automaton, kept: (variable: string) => boolean): Variables[] {
  const names = new Map(automaton.variables.map(({ name }, at) => [name, bit(at)]));
  const read = new Reading(automaton, names);
  const always = automaton.variables.reduce(
    (all, { name }, at) => (kept(name) ? all | bit(at) : all),
    NOTHING,
  );
  const live = automaton.locations.map(({ checks }) => always | read.byChecks(checks));
  const flows = automaton.edges.map((edge) => ({
    edge,
    reads: read.byEdge(edge),
    sets: read.alwaysSet(edge),
  }));
  const interrupted = new Set(automaton.edges.flatMap(({ interrupts, from }) => (interrupts ? from : [])));
  while (flows.map((flow) => carryBack(flow, live, interrupted)).some(Boolean));
  return live;
}

/** What is read after an edge, and by the edge, was live before it. */
interface Flow {
  readonly edge: Edge;
  readonly reads: Variables;
  readonly sets: Variables;
}

function carryBack(
  { edge, reads, sets }: Flow,
  live: Variables[],
  interrupted: ReadonlySet<number>,
): boolean {
  const after = liveAfter(edge, live, interrupted);
  let changed = false;
  for (const from of edge.from) {
    const before = live[from] ?? NOTHING;
    const now = before | reads | (edge.to === "same" ? before & ~sets : after & ~sets);
    if (now === before) continue;
    live[from] = now;
    changed = true;
  }
  return changed;
}

function liveAfter({ to }: Edge, live: readonly Variables[], interrupted: ReadonlySet<number>): Variables {
  if (to === "same") return NOTHING;
  if (to !== "interrupted") return live[to] ?? NOTHING;
  return [...interrupted].reduce((all, location) => all | (live[location] ?? NOTHING), NOTHING);
}

/** Which variables parts of an automaton read and set. */
class Reading {
  readonly #automaton: Automaton;
  readonly #names: ReadonlyMap<string, Variables>;

  constructor(automaton: Automaton, names: ReadonlyMap<string, Variables>) {
    this.#automaton = automaton;
    this.#names = names;
  }

  byEdge({ when, set = [], reset = [], checks }: Edge): Variables {
    const raised = set.map((one) => (one.plus === undefined ? NOTHING : this.#bitsOf(one.variable)));
    const conditions = [when, ...set.map((one) => one.when), ...reset.map((one) => one.when)];
    return union([this.byChecks(checks), ...raised, ...conditions.map((one) => this.#byCondition(one))]);
  }

  byChecks(checks: readonly number[] = []): Variables {
    return union(checks.map((number) => this.#byCondition(this.#automaton.checks[number]?.when)));
  }

  alwaysSet({ set = [] }: Edge): Variables {
    const always = set.filter(({ to, when }) => to !== undefined && !when);
    return union(always.map(({ variable }) => this.#bitsOf(variable)));
  }

  #byCondition(condition: Condition | undefined): Variables {
    if (!condition) return NOTHING;
    if ("variable" in condition) return this.#bitsOf(condition.variable);
    if ("not" in condition) return this.#byCondition(condition.not);
    if ("all" in condition) return union(condition.all.map((one) => this.#byCondition(one)));
    return "any" in condition ? union(condition.any.map((one) => this.#byCondition(one))) : NOTHING;
  }

  #bitsOf(variable: string): Variables {
    return this.#names.get(variable) ?? NOTHING;
  }
}

function union(sets: readonly Variables[]): Variables {
  return sets.reduce((all, one) => all | one, NOTHING);
}
