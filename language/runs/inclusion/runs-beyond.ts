import type { Origin } from "@limbwright/shared/finding";
import { machineOf, type Span } from "@limbwright/shared/runtime";
import type { TracedAutomaton } from "../automaton/draft.ts";
import { concreteRun, type TimedMove, UnreplayableRun } from "../concrete-run.ts";
import type { Run } from "../runs.ts";
import { type Exploration, explore } from "../zones/explore.ts";
import { traceTimes } from "../zones/trace-times.ts";
import { follow, type Sight } from "./follow.ts";
import { type Observed, observeAlike } from "./observed.ts";
import { type Parting, type Product, productOf } from "./product.ts";

/** A run of one protocol that another does not allow, up to the moment at which they part. */
export interface RunBeyond {
  readonly run: Run;
  /** `time`: the other does the same there, but not at that time. `order`: it never does that there. */
  readonly reason: "time" | "order";
  /** The step, event or answer at which they part, in the words of the protocol, with its place. */
  readonly says: string;
  readonly origin?: Origin;
  /** When the other could have done it, from the beginning of the run; empty where never. */
  readonly otherwise: readonly Span[];
}

/** What the runs of two protocols have that the other's have not. */
export type RunDifference =
  | {
      readonly kind: "compared";
      /** Runs of the second that are none of the first; of those that part alike only one. */
      readonly gained: readonly RunBeyond[];
      /** Runs of the first that are none of the second. */
      readonly lost: readonly RunBeyond[];
    }
  | { readonly kind: "not-decided"; readonly limit: string };

export interface DifferenceOptions {
  readonly isCancelled?: () => boolean;
}

const MOST_NODES = 100_000;

/** The follower does what nobody sees as late as it may (see `product.ts`); that is not always the right time. */
const SEEMED_TO_PART =
  "in one version something that nobody sees, such as the end of a step, can come at several times, and not each was tried; on one run the two seemed to part, and there they do not";

/**
 * Decides whether two protocols allow the same runs, as somebody sees them who stands beside the team: the same steps,
 * events and answers at the same times. Each run that is given was followed through both automata step by step: the
 * one takes all of it, the other all but the last.
 */
export function runDifference(
  before: TracedAutomaton,
  now: TracedAutomaton,
  options: DifferenceOptions = {},
): RunDifference {
  const observed = observeAlike(before, now, options.isCancelled);
  if (!observed) return { kind: "not-decided", limit: "the runs pass through too many states" };
  const [old, recent] = observed;
  const gained = findBeyond(recent, old, options);
  const lost = typeof gained === "string" ? gained : findBeyond(old, recent, options);
  if (typeof gained === "string") return { kind: "not-decided", limit: gained };
  if (typeof lost === "string") return { kind: "not-decided", limit: lost };
  return { kind: "compared", gained, lost };
}

/** The runs of the goer beyond those of the follower, or why that cannot be said. */
function findBeyond(
  goer: Observed,
  follower: Observed,
  { isCancelled }: DifferenceOptions,
): RunBeyond[] | string {
  const product = productOf(goer, follower);
  if (!product) return "the two sets of runs have too many states together";
  const exploration = explore(product.system, {
    extrapolation: "lower-upper",
    mostNodes: MOST_NODES,
    ...(isCancelled && { isCancelled }),
  });
  if (exploration.end === "cancelled") return "it was interrupted";
  if (exploration.end !== "complete") return "the two sets of runs are too many together";
  const parted = [...exploration.states].flatMap(([state, node]) => {
    const parting = product.partings.get(state);
    return parting ? [{ parting, node }] : [];
  });
  try {
    return parted.map(({ parting, node }) =>
      showRun({ goer, follower, product, exploration }, parting, node),
    );
  } catch (error) {
    if (error instanceof UnreplayableRun) return error.limit;
    throw error;
  }
}

interface Parted {
  readonly goer: Observed;
  readonly follower: Observed;
  readonly product: Product;
  readonly exploration: Exploration;
}

/** The run with real times, taken through both machines. */
function showRun(
  { goer, follower, product, exploration }: Parted,
  parting: Parting,
  node: number,
): RunBeyond {
  const legs = exploration.pathTo(node);
  const times = traceTimes(product.system, legs)?.times;
  if (!times) throw new UnreplayableRun("the times of a run contradict each other");
  const taken = legs.flatMap(({ edge }, at) => {
    const own = product.meanings[edge.id]?.goer;
    return own ? [{ edge: own, at: times[at] ?? 0 }] : [];
  });
  const { graph } = goer.system;
  const moves = taken.flatMap(({ edge, at }): TimedMove[] => {
    const move = graph.meanings[edge.id]?.move;
    return move ? [{ edge: move.edge, at }] : [];
  });
  const run = concreteRun(machineOf(goer.traced.automaton), goer.traced, moves);
  const sights = taken.flatMap(({ edge, at }): Sight[] => {
    const move = graph.meanings[edge.id]?.move;
    const seen = move && goer.seen(move);
    return seen === undefined ? [] : [{ seen, at }];
  });
  const followed = follow(machineOf(follower.traced.automaton), follower.seen, sights);
  if (!followed) {
    throw new UnreplayableRun("too many ways", "a run was found that can be followed in too many ways");
  }
  if (followed.count !== sights.length - 1) {
    throw new UnreplayableRun(
      `follows ${followed.count} of ${sights.length}: ${parting.seen}`,
      SEEMED_TO_PART,
    );
  }
  const edge = graph.meanings[parting.goer.id]?.move?.edge ?? -1;
  const origin = goer.traced.edgeOrigins[edge];
  return {
    run,
    reason: followed.spans.length > 0 ? "time" : "order",
    says: goer.traced.automaton.edges[edge]?.says ?? parting.seen,
    ...(origin && { origin }),
    otherwise: followed.spans,
  };
}
