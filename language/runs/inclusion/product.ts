import type { GraphNode } from "../discrete-graph.ts";
import { MOST_STATES } from "../system.ts";
import { type FiniteLocation, systemOf } from "../zones/finite-system.ts";
import type { Constraint, TimedEdge, TimedSystem } from "../zones/timed-system.ts";
import { type AnyOf, always, conjoin, negate } from "./constraints.ts";
import type { Observed } from "./observed.ts";
import { type Continuation, waysOf } from "./ways.ts";

/**
 * The runs of one automaton (the goer) with another that follows it: whenever something is seen of the goer, the follower
 * has to do what is seen as well, at the same time. Where it cannot, the two part. Both are deterministic in what is seen,
 * as far as it matters: a follower that does something silently does it as late as it may, or at the moment of what is
 * seen next, because until then it can do nearly all that it could do afterwards. What it cannot, since something became
 * due in the meantime, makes the two seem to part where they do not; whoever shows a run has to let both follow it.
 */
export interface Product {
  readonly system: TimedSystem;
  /** What each edge of the product stands for, by its id. */
  readonly meanings: readonly ProductMeaning[];
  /** Where the two part, by the state of the product. */
  readonly partings: ReadonlyMap<number, Parting>;
}

export interface ProductMeaning {
  /** The edge of the goer's graph. */
  readonly goer?: TimedEdge;
}

/** The goer does what the follower cannot do. */
export interface Parting {
  readonly seen: string;
  /** The edge of the goer's graph by which it does it. */
  readonly goer: TimedEdge;
  /** Whether the follower does the same from there, at other times: told apart from where it never does. */
  readonly isKnown: boolean;
}

/** More ways to miss something at once than this are not gone through. */
const MOST_CONJUNCTIONS = 256;

/** Undefined where there are too many states. */
export function productOf(goer: Observed, follower: Observed): Product | undefined {
  return new Pairing(goer, follower).run();
}

interface Pair {
  readonly goer: number;
  readonly follower: number;
  /** Whether the follower has just moved silently: at this very moment it counts as not having done so. */
  readonly moved: boolean;
  /** Whether no time passes any more for the follower, so that it misses whatever is seen later. */
  readonly stopped?: true;
}

class Pairing {
  readonly #goer: Observed;
  readonly #follower: Observed;
  readonly #shift: number;
  readonly #sinceSeen: number;
  readonly #ids = new Map<string, number>();
  readonly #found: (Pair | Parting)[] = [];
  readonly #meanings: ProductMeaning[] = [];
  #isTooMuch = false;

  constructor(goer: Observed, follower: Observed) {
    this.#goer = goer;
    this.#follower = follower;
    this.#shift = goer.system.clockCount;
    this.#sinceSeen = goer.system.clockCount + follower.system.clockCount + 1;
  }

  run(): Product | undefined {
    const locations: FiniteLocation[] = [];
    this.#idOf({ goer: 0, follower: 0, moved: false });
    for (let id = 0; id < this.#found.length; id += 1) {
      if (this.#found.length > MOST_STATES || this.#isTooMuch) return undefined;
      const found = this.#found[id];
      if (found) locations.push("seen" in found ? PARTED : this.#locationOf(found));
    }
    const partings = this.#found.flatMap((found, id) => ("seen" in found ? [[id, found] as const] : []));
    return {
      system: systemOf({ clockCount: this.#sinceSeen, initial: 0, locations }),
      meanings: this.#meanings,
      partings: new Map(partings),
    };
  }

  #locationOf(pair: Pair): FiniteLocation {
    const goer = nodeOf(this.#goer, pair.goer);
    const follower = nodeOf(this.#follower, pair.follower);
    const silent = pair.stopped ? [] : this.#silentOf(follower);
    const follows = silent.length > 0;
    return {
      invariant: [],
      deadlines: [
        ...goer.deadlines,
        ...(follows ? follower.deadlines.map((one) => this.#shiftClock(one)) : []),
      ],
      isUrgent: isUrgent(goer) || (follows && isUrgent(follower)),
      edges: [
        ...goer.edges.flatMap((edge) => this.#goerEdges(pair, edge)),
        ...silent.flatMap((edge) => this.#silentEdges(pair, follower, edge)),
        ...(follows ? this.#stoppingEdges(pair, follower, silent) : []),
      ],
    };
  }

  /** The follower's silent moves by itself: at once where no time passes, else when its time is up. */
  #silentEdges(pair: Pair, follower: GraphNode, edge: TimedEdge): TimedEdge[] {
    const guard = edge.guard.map((one) => this.#shiftClock(one));
    return this.#lastMoments(follower).map((moment) =>
      this.#edge(
        {},
        {
          target: this.#idOf({ ...pair, follower: edge.target, moved: true }),
          guard: [...guard, ...moment],
          resets: [...edge.resets.map((clock) => clock + this.#shift), this.#sinceSeen],
          isDecision: false,
        },
      ),
    );
  }

  /** Where its time is up and no silent move is open, it stops; what is seen after that it cannot follow. */
  #stoppingEdges(pair: Pair, follower: GraphNode, silent: readonly TimedEdge[]): TimedEdge[] {
    const closed = silent
      .map(({ guard }) => negate(guard.map((one) => this.#shiftClock(one))))
      .reduce(conjoin, this.#lastMoments(follower));
    return closed.map((guard) =>
      this.#edge(
        {},
        {
          target: this.#idOf({ ...pair, moved: true, stopped: true }),
          guard,
          resets: [this.#sinceSeen],
          isDecision: false,
        },
      ),
    );
  }

  /** When no more time passes where the follower stands: any one of these. */
  #lastMoments(follower: GraphNode): AnyOf {
    if (isUrgent(follower)) return always;
    return follower.deadlines.map((limit) => [this.#shiftClock({ ...limit, kind: "at-least" })]);
  }

  #goerEdges(pair: Pair, edge: TimedEdge): TimedEdge[] {
    const { move, check } = this.#goer.system.graph.meanings[edge.id] ?? {};
    if (!move || check !== undefined) return [];
    const seen = this.#goer.seen(move);
    const { guard, isDecision } = edge;
    if (seen === undefined) {
      const target = this.#idOf({ ...pair, goer: edge.target });
      return [this.#edge({ goer: edge }, { target, guard, resets: edge.resets, isDecision })];
    }
    const ways = pair.stopped ? [] : this.#waysOf(pair.follower, seen);
    const follower = nodeOf(this.#follower, pair.follower);
    const standing = this.#standing(follower);
    const matches = ways.flatMap((way) =>
      standing.map((moment) =>
        this.#edge(
          { goer: edge },
          {
            target: this.#idOf({ goer: edge.target, follower: way.target, moved: false }),
            guard: [...guard, ...way.guard, ...moment],
            resets: [...edge.resets, ...way.resets, this.#sinceSeen],
            isDecision,
          },
        ),
      ),
    );
    const parting = this.#idOf({ seen, goer: edge, isKnown: ways.length > 0 });
    const misses = this.#misses(pair, ways, standing).map((missed) =>
      this.#edge({ goer: edge }, { target: parting, guard: [...guard, ...missed], resets: [], isDecision }),
    );
    return [...matches, ...misses];
  }

  /** When the follower may still do something where it stands: any one of these. */
  #standing(follower: GraphNode): AnyOf {
    // Where it can move silently, time does not pass its limits in the product itself.
    if (this.#silentOf(follower).length > 0) return always;
    const atOnce: Constraint = { clock: this.#sinceSeen, kind: "at-most", limit: 0 };
    if (isUrgent(follower)) return [[atOnce]];
    if (follower.deadlines.length === 0) return always;
    return [[atOnce], follower.deadlines.map((one) => this.#shiftClock(one))];
  }

  /** When none of the ways is open: any one of these. */
  #misses(pair: Pair, ways: readonly Continuation[], standing: AnyOf): AnyOf {
    const later: Constraint = { clock: this.#sinceSeen, kind: "over", limit: 0 };
    const open = ways.flatMap((way) => standing.map((moment) => [...way.guard, ...moment]));
    let missed: AnyOf = [pair.moved ? [later] : []];
    for (const guard of open) {
      missed = conjoin(missed, negate(guard));
      if (missed.length > MOST_CONJUNCTIONS) {
        this.#isTooMuch = true;
        break;
      }
    }
    return missed;
  }

  #waysOf(follower: number, seen: string): readonly Continuation[] {
    return waysOf(this.#follower, follower, seen).map(({ target, guard, resets }) => ({
      target,
      guard: guard.map((one) => this.#shiftClock(one)),
      resets: resets.map((clock) => clock + this.#shift),
    }));
  }

  #silentOf({ edges }: GraphNode): TimedEdge[] {
    const { system, seen } = this.#follower;
    return edges.filter(({ id }) => {
      const { move, check } = system.graph.meanings[id] ?? {};
      return move !== undefined && check === undefined && seen(move) === undefined;
    });
  }

  #shiftClock(constraint: Constraint): Constraint {
    return { ...constraint, clock: constraint.clock + this.#shift };
  }

  #edge(meaning: ProductMeaning, edge: Omit<TimedEdge, "id">): TimedEdge {
    return { ...edge, id: this.#meanings.push(meaning) - 1 };
  }

  #idOf(found: Pair | Parting): number {
    const key =
      "seen" in found
        ? `${found.seen} ${found.isKnown} ${this.#goer.system.graph.meanings[found.goer.id]?.move?.edge}`
        : `${found.goer},${found.follower},${found.moved},${found.stopped ?? false}`;
    const known = this.#ids.get(key);
    if (known !== undefined) return known;
    this.#ids.set(key, this.#found.length);
    return this.#found.push(found) - 1;
  }
}

const PARTED: FiniteLocation = { invariant: [], deadlines: [], isUrgent: true, edges: [] };

function nodeOf({ system }: Observed, id: number): GraphNode {
  const node = system.graph.nodes[id];
  if (!node) throw new RangeError(`there is no state ${id}`);
  return node;
}

function isUrgent({ moves }: GraphNode): boolean {
  return moves?.isUrgent ?? true;
}
