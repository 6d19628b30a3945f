import type { FiniteAutomaton, FiniteLocation } from "../../language/runs/zones/finite-system.ts";
import type { Constraint, TimedEdge } from "../../language/runs/zones/timed-system.ts";
import { again } from "../questions.ts";
import { type Random, randomFrom } from "./random.ts";

/** What random automata are made of. Location 0 is the first, the last one the target. */
interface AutomatonShape {
  readonly clockCount: number;
  readonly mostLocations: number;
  /** Whether some locations are urgent or have deadlines. */
  readonly withUrgency: boolean;
}

/** Small constants, so that strict and other bounds often meet, and runs often go round. */
const LIMITS = [0, 1, 1, 2, 2, 3, 3, 4, 5];
const GUARD_KINDS = ["at-most", "under", "at-least", "at-least", "over", "over"] as const;
const INVARIANT_KINDS = ["at-most", "at-most", "under"] as const;

function randomAutomaton(random: Random, shape: AutomatonShape): FiniteAutomaton {
  const count = 3 + random.below(shape.mostLocations - 2);
  let id = 0;
  const locations = Array.from({ length: count }, (_, at): FiniteLocation => {
    const edges = Array.from({ length: 1 + random.below(3) }, () => randomEdge(random, shape, count, id++));
    // The chain to the target is there if time is ignored.
    if (at + 1 < count) edges.push({ ...randomEdge(random, shape, count, id++), target: at + 1 });
    return {
      invariant: constraintsOf(random, shape, INVARIANT_KINDS, [0, 0, 1, 1, 2]),
      deadlines: shape.withUrgency ? constraintsOf(random, shape, ["at-most"], [0, 0, 1, 2]) : [],
      isUrgent: shape.withUrgency && random.oneIn(6),
      edges,
    };
  });
  return { clockCount: shape.clockCount, initial: 0, locations };
}

/** Constants of an automaton, for each clock the largest, from 0 on where it has none. */
export function largestConstants({ clockCount, locations }: FiniteAutomaton): number[] {
  const largest = new Array<number>(clockCount + 1).fill(0);
  for (const { invariant, deadlines, edges } of locations) {
    for (const { clock, limit } of [...invariant, ...deadlines, ...edges.flatMap(({ guard }) => guard)]) {
      largest[clock] = Math.max(largest[clock] ?? 0, limit);
    }
  }
  return largest;
}

function randomEdge(random: Random, shape: AutomatonShape, count: number, id: number): TimedEdge {
  const clocks = Array.from({ length: shape.clockCount }, (_, at) => at + 1);
  return {
    id,
    target: random.below(count),
    guard: constraintsOf(random, shape, GUARD_KINDS, [0, 1, 1, 2, 2]),
    resets: clocks.filter(() => random.oneIn(3)),
    isDecision: random.oneIn(2),
  };
}

function constraintsOf(
  random: Random,
  { clockCount }: AutomatonShape,
  kinds: readonly Constraint["kind"][],
  counts: readonly number[],
): Constraint[] {
  return Array.from({ length: random.pick(counts) }, () => ({
    clock: 1 + random.below(clockCount),
    kind: random.pick(kinds),
    limit: random.pick(LIMITS),
  }));
}

/** Automata with and without urgency in turn, with as many clocks as said. */
export function shapesOf(...clockCounts: readonly number[]): AutomatonShape[] {
  return clockCounts.flatMap((clockCount) =>
    [false, true].map((withUrgency) => ({
      clockCount,
      mostLocations: clockCount > 2 ? 4 : 5,
      withUrgency,
    })),
  );
}

/** Of how many automata from the seed on, of the shapes in turn, the check says yes. */
export function countOf(
  seeds: readonly number[],
  shapes: readonly AutomatonShape[],
  check: (automaton: FiniteAutomaton, where: string) => boolean,
): number {
  let yes = 0;
  for (const seed of seeds) {
    const shape = shapes[seed % shapes.length];
    if (shape === undefined) throw new Error("no shapes");
    if (check(randomAutomaton(randomFrom(seed), shape), again(seed))) yes += 1;
  }
  return yes;
}
