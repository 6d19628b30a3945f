import {
  type Automaton,
  type Check,
  type Condition,
  type Edge,
  type State,
  VARIABLES_FROM,
} from "@limbwright/shared/runtime";

/**
 * Forgets what nobody asks any more: gives a function that sets, in a state, every variable to its first
 * value that is not read again from there on before it is set anew. States that differ in nothing else are
 * then the same, and runs through them are explored once. `kept` are never forgotten.
 */
export function forgetting(
  automaton: Automaton,
  kept: (variable: string) => boolean,
): (state: State) => State {
  const live = liveAt(automaton, kept);
  const slots = live.map((names) =>
    automaton.variables.flatMap(({ name, first }, at) =>
      names.has(name) ? [] : [{ slot: VARIABLES_FROM + at, first }],
    ),
  );
  return (state) => {
    const forgotten = slots[state[0] ?? 0] ?? [];
    if (forgotten.every(({ slot, first }) => state[slot] === first)) return state;
    const next = [...state];
    for (const { slot, first } of forgotten) next[slot] = first;
    return next;
  };
}

/** For each location, the variables that may still be read. */
function liveAt(automaton: Automaton, kept: (variable: string) => boolean): ReadonlySet<string>[] {
  const { locations, edges, variables } = automaton;
  const always = variables.map(({ name }) => name).filter(kept);
  const live = locations.map(
    ({ checks = [] }) =>
      new Set([...always, ...checks.flatMap((number) => readByCheck(automaton.checks[number]))]),
  );
  const interrupted = [...new Set(edges.filter(({ interrupts }) => interrupts).flatMap(({ from }) => from))];
  const flows = edges.flatMap((edge): Flow[] => {
    const reads = readBy(edge, automaton);
    const sets = alwaysSet(edge);
    return edge.from.map((from) => ({ from, targets: targetsOf(edge, from, interrupted), reads, sets }));
  });
  while (flows.map((flow) => carriedBack(flow, live)).some(Boolean));
  return live;
}

/** What is read after an edge, and by the edge, was live before it. */
interface Flow {
  readonly from: number;
  readonly targets: readonly number[];
  readonly reads: ReadonlySet<string>;
  readonly sets: ReadonlySet<string>;
}

function carriedBack({ from, targets, reads, sets }: Flow, live: readonly Set<string>[]): boolean {
  const names = live[from];
  if (!names) return false;
  const before = names.size;
  for (const name of reads) names.add(name);
  for (const target of targets) {
    for (const name of live[target] ?? []) if (!sets.has(name)) names.add(name);
  }
  return names.size > before;
}

function targetsOf({ to }: Edge, from: number, interrupted: readonly number[]): readonly number[] {
  if (to === "interrupted") return interrupted;
  return [to === "same" ? from : to];
}

function alwaysSet({ set = [] }: Edge): Set<string> {
  return new Set(set.flatMap(({ variable, to, when }) => (to !== undefined && !when ? [variable] : [])));
}

function readBy({ when, set = [], reset = [], checks = [] }: Edge, automaton: Automaton): Set<string> {
  return new Set([
    ...namesIn(when),
    ...set.flatMap((one) => [...namesIn(one.when), ...(one.plus === undefined ? [] : [one.variable])]),
    ...reset.flatMap((one) => namesIn(one.when)),
    ...checks.flatMap((number) => readByCheck(automaton.checks[number])),
  ]);
}

function readByCheck(check: Check | undefined): string[] {
  return namesIn(check?.when);
}

function namesIn(condition: Condition | undefined): string[] {
  if (!condition) return [];
  if ("variable" in condition) return [condition.variable];
  if ("not" in condition) return namesIn(condition.not);
  if ("all" in condition) return condition.all.flatMap(namesIn);
  return "any" in condition ? condition.any.flatMap(namesIn) : [];
}
