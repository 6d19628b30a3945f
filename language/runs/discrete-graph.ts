import {
  type Automaton,
  type ClockCondition,
  firstState,
  type Move,
  type Moves,
  movesOf,
  type State,
} from "@limbwright/shared/runtime";
import type { DroppableLimit } from "./automaton/durations.ts";
import { forgetDeadVariables } from "./live-variables.ts";
import { type Constraint, opposite, type TimedEdge } from "./zones/timed-system.ts";

/** A move of the automaton, taken in a state; or the breaking of a check there (by a move, or by being there). */
export interface EdgeMeaning {
  readonly from: number;
  readonly move?: Move;
  readonly check?: number;
}

/** A constraint that goes with a bound, where the automaton was made so. */
interface DroppableConstraint extends Constraint {
  readonly bound?: string;
}

interface GraphEdge extends TimedEdge {
  readonly guard: readonly DroppableConstraint[];
}

/** A state of the automaton, or one that stands for a broken check and from which nothing goes on. */
export interface GraphNode {
  readonly state?: State;
  readonly check?: number;
  readonly moves?: Moves;
  readonly edges: readonly GraphEdge[];
  readonly deadlines: readonly DroppableConstraint[];
  /** Clocks whose exact value matters here, though nothing compares them. */
  readonly exact: readonly number[];
}

/** Every discrete state that a run could come to if time did not matter. The first node is the beginning. */
export interface DiscreteGraph {
  readonly nodes: readonly GraphNode[];
  /** What each edge stands for, by its id. */
  readonly meanings: readonly EdgeMeaning[];
  /** The node of each check that could be asked. */
  readonly checkNodes: ReadonlyMap<number, number>;
  readonly clockCount: number;
}

export interface GraphOptions {
  /** More states than this are not made. */
  readonly mostStates: number;
  readonly isCancelled?: () => boolean;
  /** Clocks whose exact value matters when a move is taken, though nothing compares them. */
  readonly exactAt?: (state: State, move: Move) => readonly string[];
  /** Variables that are wanted in the states that are reached, though no edge reads them any more. */
  readonly kept?: (variable: string) => boolean;
}

/** Undefined when there are too many states, or when it was cancelled. */
export function discreteGraph(automaton: Automaton, options: GraphOptions): DiscreteGraph | undefined {
  const unfolding = new GraphUnfolding(automaton, options);
  return unfolding.run();
}

/** The same states without the constraints that go with some bounds; the automaton was made with `isMarked`. */
export function withoutBounds(graph: DiscreteGraph, dropped: ReadonlySet<string>): DiscreteGraph {
  const keepUndropped = (constraints: readonly DroppableConstraint[]) =>
    constraints.filter(({ bound }) => bound === undefined || !dropped.has(bound));
  const nodes = graph.nodes.map((node) => ({
    ...node,
    deadlines: keepUndropped(node.deadlines),
    edges: node.edges.map((edge) => ({ ...edge, guard: keepUndropped(edge.guard) })),
  }));
  return { ...graph, nodes };
}

class GraphUnfolding {
  readonly #automaton: Automaton;
  readonly #options: GraphOptions;
  readonly #movesAt: (state: State) => Moves;
  readonly #forget: (state: State) => State;
  readonly #clockNumbers: ReadonlyMap<string, number>;
  readonly #ids = new Map<string, number>();
  readonly #checkIds = new Map<number, number>();
  readonly #found: (State | number)[] = [];
  readonly #meanings: EdgeMeaning[] = [];

  constructor(automaton: Automaton, options: GraphOptions) {
    this.#automaton = automaton;
    this.#options = options;
    this.#movesAt = movesOf(automaton);
    this.#forget = forgetDeadVariables(automaton, options.kept ?? (() => false));
    this.#clockNumbers = new Map(automaton.clocks.map((clock, at) => [clock, at + 1]));
  }

  run(): DiscreteGraph | undefined {
    const { mostStates, isCancelled } = this.#options;
    const nodes: GraphNode[] = [];
    this.#idOf(this.#forget(firstState(this.#automaton)));
    for (let id = 0; id < this.#found.length; id += 1) {
      if (this.#found.length > mostStates || (id % 64 === 0 && isCancelled?.())) return undefined;
      const found = this.#found[id];
      nodes.push(typeof found === "object" ? this.#nodeOf(id, found) : checkNode(found));
    }
    return {
      nodes,
      meanings: this.#meanings,
      checkNodes: this.#checkIds,
      clockCount: this.#automaton.clocks.length,
    };
  }

  #nodeOf(from: number, state: State): GraphNode {
    const moves = this.#movesAt(state);
    const edges = [
      ...moves.moves.flatMap((move) => this.#edgesOf(from, move)),
      ...moves.checks.map((check) =>
        this.#addBreakingEdge({ from, check }, { guard: [], resets: [], isDecision: false }, check),
      ),
    ];
    const deadlines = moves.deadlines.map((limit) => this.#constraintOf({ ...limit, is: "at-most" }));
    const exact = moves.moves.flatMap((move) => this.#options.exactAt?.(state, move) ?? []);
    return { state, moves, edges, deadlines, exact: exact.map((clock) => this.#numberOf(clock)) };
  }

  /** The move itself, as far as no check ends the run there, and the breaking of each of its checks. */
  #edgesOf(from: number, move: Move): GraphEdge[] {
    const guard = move.guard.map((condition) => this.#constraintOf(condition));
    const isDecision = this.#automaton.edges[move.edge]?.decision ?? false;
    const breaking = move.checks.map((check) =>
      this.#addBreakingEdge({ from, move, check }, { guard, resets: [], isDecision }, check),
    );
    const ending = move.checks
      .map((number) => this.#automaton.checks[number])
      .filter((check) => check?.endsRun)
      .map((check) => check?.clocks ?? []);
    if (ending.some((clocks) => clocks.length === 0)) return breaking;
    const passing = ending.flatMap((clocks) =>
      clocks.map((condition) => opposite(this.#constraintOf(condition))),
    );
    const edge = {
      target: this.#idOf(this.#forget(move.next)),
      guard: [...guard, ...passing],
      resets: move.resets.map((clock) => this.#numberOf(clock)),
      isDecision,
    };
    return [...breaking, this.#edge({ from, move }, edge)];
  }

  #addBreakingEdge(meaning: EdgeMeaning, edge: Omit<GraphEdge, "id" | "target">, check: number): GraphEdge {
    const clocks = this.#automaton.checks[check]?.clocks ?? [];
    const guard = [...edge.guard, ...clocks.map((condition) => this.#constraintOf(condition))];
    return this.#edge(meaning, { ...edge, guard, target: this.#idOfCheck(check) });
  }

  #edge(meaning: EdgeMeaning, edge: Omit<GraphEdge, "id">): GraphEdge {
    return { ...edge, id: this.#meanings.push(meaning) - 1 };
  }

  #numberOf(clock: string): number {
    return this.#clockNumbers.get(clock) ?? 0;
  }

  #constraintOf({ clock, is, seconds, bound }: ClockCondition & DroppableLimit): DroppableConstraint {
    const constraint = { clock: this.#numberOf(clock), kind: is, limit: seconds };
    return bound === undefined ? constraint : { ...constraint, bound };
  }

  #idOf(state: State): number {
    const key = state.join(",");
    const known = this.#ids.get(key);
    if (known !== undefined) return known;
    this.#ids.set(key, this.#found.length);
    return this.#found.push(state) - 1;
  }

  #idOfCheck(check: number): number {
    const known = this.#checkIds.get(check);
    if (known !== undefined) return known;
    this.#checkIds.set(check, this.#found.length);
    return this.#found.push(check) - 1;
  }
}

function checkNode(check: number | undefined): GraphNode {
  return { ...(check !== undefined && { check }), edges: [], deadlines: [], exact: [] };
}
