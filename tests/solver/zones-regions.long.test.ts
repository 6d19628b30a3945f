import { expect, test } from "vitest";
import { explore } from "../../language/runs/zones/explore.ts";
import { type FiniteAutomaton, systemOf } from "../../language/runs/zones/finite-system.ts";
import type { Leg } from "../../language/runs/zones/path.ts";
import { findStuck } from "../../language/runs/zones/stuck.ts";
import type { TimedSystem } from "../../language/runs/zones/timed-system.ts";
import { traceTimes } from "../../language/runs/zones/trace-times.ts";
import { replay } from "../language/runs/zones/replay.ts";
import { seeds } from "../questions.ts";
import { countOf, shapesOf } from "./random-automaton.ts";
import { enumerateRegions } from "./region-graph.ts";

const MOST_TOTAL = 12;
const AUTOMATA = seeds(4_000);
const SHAPES = shapesOf(2, 3);

test("random automata reach the same locations with as few decisions", () => {
  countOf(AUTOMATA, SHAPES, (automaton, where) => {
    const regions = sorted(enumerateRegions(automaton).decisions);
    expect(decisionsByZones(automaton, "lower-upper"), where).toEqual(regions);
    expect(decisionsByZones(automaton, "maximal"), where).toEqual(regions);
    return true;
  });
});

test("random automata get stuck in the same locations, and the runs replay", () => {
  const everStuck = countOf(AUTOMATA, SHAPES, (automaton, where) => {
    const system = systemOf(automaton);
    const { stuck } = findStuck(system, {});
    const found = stuck.map(({ state }) => state).sort((a, b) => a - b);
    expect(found, where).toEqual([...enumerateRegions(automaton).stuck].sort((a, b) => a - b));
    for (const { state, path, times } of stuck) {
      expect(replay(system, path, times).state, where).toBe(state);
    }
    return found.length > 0;
  });
  expect(everStuck).toBeGreaterThan(AUTOMATA.length * 0.3);
});

// With a clock of the total time there are many more regions.
test("random automata enter each location as early, with the fewest decisions, and the runs replay", () => {
  const automata = seeds(800);
  const entered = countOf(automata, shapesOf(2), (automaton, where) => {
    const { earliest, decisions } = enumerateRegions(automaton, MOST_TOTAL);
    for (const location of decisions.keys()) {
      checkEarliest(automaton, location, earliest.get(location), where);
    }
    return decisions.size > 1;
  });
  expect(entered).toBeGreaterThan(automata.length * 0.5);
});

function decisionsByZones(
  automaton: FiniteAutomaton,
  extrapolation: "lower-upper" | "maximal",
): [number, number][] {
  const found = explore(systemOf(automaton), { extrapolation });
  return sorted(new Map([...found.states].map(([state, node]) => [state, found.node(node).decisions])));
}

function sorted(map: ReadonlyMap<number, number>): [number, number][] {
  return [...map].sort(([a], [b]) => a - b);
}

function checkEarliest(
  automaton: FiniteAutomaton,
  location: number,
  expected: { readonly value: number; readonly strict: boolean } | undefined,
  where: string,
): void {
  const system = systemOf(automaton);
  const found = explore(system, {
    extrapolation: "lower-upper",
    withTotalTime: true,
    stopAt: (state) => state === location,
  });
  if (found.target === undefined) throw new Error(`${where}: location ${location} is not reached`);
  const least = found.node(found.target).zone.leastOf(automaton.clockCount + 1);
  if (expected === undefined) expect(least.value, where).toBeGreaterThanOrEqual(MOST_TOTAL);
  else expect(least, where).toEqual(expected);
  const path = found.pathTo(found.target);
  const times = traceTimes(system, path);
  if (times === undefined) throw new Error(`${where}: no times lead to location ${location}`);
  expect(replay(system, path, times).state, where).toBe(location);
  expect(times.end, where).toBeGreaterThanOrEqual(least.value);
  // A strict bound on the way takes the next whole number, so only without one the shown run is the earliest.
  if (!isAnyStrict(system, path)) expect(times.end, where).toBe(least.value);
}

function isAnyStrict(system: TimedSystem, path: readonly Leg[]): boolean {
  const states = [system.initial, ...path.map(({ edge }) => edge.target)];
  const constraints = [
    ...path.flatMap(({ edge }) => edge.guard),
    ...states.flatMap((state) => system.invariantOf(state)),
  ];
  const isStrict = constraints.some(({ kind }) => kind === "under" || kind === "over");
  return isStrict || path.some(({ passed }) => passed >= 0);
}
