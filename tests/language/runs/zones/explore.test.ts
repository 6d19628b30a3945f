import { expect, test } from "vitest";
import { type Exploration, type ExploreOptions, explore } from "../../../../language/runs/zones/explore.ts";
import { systemOf } from "../../../../language/runs/zones/finite-system.ts";
import { findStuck } from "../../../../language/runs/zones/stuck.ts";
import { traceTimes } from "../../../../language/runs/zones/trace-times.ts";
import { automatonOf, type LocationText } from "./automaton-text.ts";

type Texts = Readonly<Record<string, LocationText>>;

function explored(texts: Texts, options: Partial<ExploreOptions> = {}): Exploration {
  return explore(systemOf(automatonOf(texts)), { extrapolation: "lower-upper", ...options });
}

function reached(texts: Texts): string[] {
  const { states } = explored(texts);
  return Object.keys(texts).filter((_, state) => states.has(state));
}

/** The shown run to the last location: the locations on the way, with times. */
function shown(texts: Texts, options: Partial<ExploreOptions> = {}): string {
  const names = Object.keys(texts);
  const found = explored(texts, { stopAt: (state) => state === names.length - 1, ...options });
  if (found.target === undefined) return "not reached";
  const path = found.pathTo(found.target);
  const times = traceTimes(systemOf(automatonOf(texts)), path)?.times;
  return path.map(({ edge }, at) => `${times?.[at]} ${names[edge.target]}`).join(", ");
}

function stuck(texts: Texts): string[] {
  const names = Object.keys(texts);
  return findStuck(systemOf(automatonOf(texts)), {}).stuck.map(
    ({ state, times }) => `${names[state]} ${times.end}`,
  );
}

test("an invariant must hold on entering and all through the wait", () => {
  expect(reached({ a: { invariant: "x <= 3", to: { b: "x >= 3" } }, b: {} })).toEqual(["a", "b"]);
  expect(reached({ a: { invariant: "x < 3", to: { b: "x >= 3" } }, b: {} })).toEqual(["a"]);
  expect(reached({ a: { to: { b: "x > 3" } }, b: { invariant: "x <= 3" } })).toEqual(["a"]);
  expect(reached({ a: { to: { b: "x > 3 / x" } }, b: { invariant: "x <= 3" } })).toEqual(["a", "b"]);
  expect(reached({ a: { to: { b: "/ x" } }, b: { invariant: "x < 0" } })).toEqual(["a"]);
  expect(reached({ a: { invariant: "x < 0", to: { b: "" } }, b: {} })).toEqual([]);
});

test("no time passes in an urgent location, and all ways on are still there", () => {
  const urgent: Texts = {
    a: { to: { b: "x >= 2 / y" } },
    b: { isUrgent: true, to: { c: "y > 0", d: "" } },
    c: {},
    d: {},
  };
  expect(reached(urgent)).toEqual(["a", "b", "d"]);
});

test("time passes up to a deadline, and whoever enters past it may go on at once", () => {
  const upTo = (guard: string): Texts => ({
    a: { to: { b: "x <= 2" } },
    b: { deadlines: "x <= 5", to: { c: guard } },
    c: {},
  });
  expect(reached(upTo("x >= 5"))).toContain("c");
  expect(reached(upTo("x > 5"))).not.toContain("c");
  const past = (guard: string): Texts => ({
    a: { to: { b: "x > 6 / y" } },
    b: { deadlines: "x <= 5", to: { c: guard } },
    c: {},
  });
  expect(reached(past("y <= 0"))).toContain("c");
  expect(reached(past("y > 0"))).not.toContain("c");
});

test("with several deadlines the one that is past first stops the time", () => {
  const texts: Texts = {
    a: { to: { b: "x > 4 / y, z" } },
    b: { deadlines: "y <= 9, x <= 4, z <= 9", to: { c: "z > 0" } },
    c: {},
  };
  expect(reached(texts)).toEqual(["a", "b"]);
  expect(stuck(texts)).toEqual(["b 5"]);
});

test("the shown run has the fewest decisions, though another is found sooner", () => {
  const texts: Texts = {
    a: { to: { b: "", c: "" } },
    b: { to: { d: "" } },
    c: { to: { e: "~" } },
    d: { to: { goal: "" } },
    e: { to: { f: "~" } },
    f: { to: { g: "~" } },
    g: { to: { goal: "~x >= 9" } },
    goal: {},
  };
  expect(shown(texts)).toBe("0 c, 0 e, 0 f, 0 g, 9 goal");
});

test("a waiting node is kept when the one that covers it needs more decisions", () => {
  // The wide way to c comes first and takes a decision more than the narrow one.
  const texts: Texts = {
    a: { to: { b: "", n: "~" } },
    b: { to: { c: "~" } },
    n: { invariant: "x <= 1", to: { m: "~" } },
    m: { invariant: "x <= 1", to: { c: "~ x >= 1" } },
    c: { to: { goal: "~" } },
    goal: {},
  };
  expect(shown(texts)).toBe("0 n, 0 m, 1 c, 1 goal");
});

test("among runs with as few decisions the earliest is shown", () => {
  const texts: Texts = {
    a: { to: { late: "", early: "" } },
    late: { to: { goal: "x >= 9" } },
    early: { to: { goal: "x >= 4" } },
    goal: {},
  };
  expect(shown(texts)).toBe("0 late, 9 goal");
  expect(shown(texts, { withTotalTime: true })).toBe("0 early, 4 goal");
});

test("the least total time is exact past all constants, and says whether it is attained", () => {
  const goal = (guard: string) => {
    const found = explored(
      {
        a: { to: { b: "~ x >= 100 / x" } },
        b: { to: { c: "~ x >= 100 / x" } },
        c: { to: { goal: `~ ${guard}` } },
        goal: {},
      },
      { withTotalTime: true, stopAt: (state) => state === 3 },
    );
    return found.node(found.target ?? -1).zone.leastOf(4);
  };
  expect(goal("x >= 100")).toEqual({ value: 300, strict: false });
  expect(goal("x > 100")).toEqual({ value: 300, strict: true });
});

test("a search for the earliest ends, though runs can go round for ever", () => {
  const found = explored(
    { a: { to: { a: "~ x >= 1 / x", goal: "~ y >= 50, x >= 1" } }, goal: {} },
    { withTotalTime: true, stopAt: (state) => state === 1 },
  );
  expect(found.node(found.target ?? -1).zone.leastOf(4)).toEqual({ value: 50, strict: false });
});

test("a strict bound takes the next whole number, and fractions where none is left", () => {
  const chain = (limit: string): Texts => ({
    a: { to: { b: "x > 2 / y" } },
    b: { to: { c: "y > 0 / z" } },
    c: { to: { d: `z > 0, x < ${limit}` } },
    d: {},
  });
  expect(shown(chain("9"))).toBe("3 b, 4 c, 5 d");
  expect(shown(chain("4"))).toBe("2.5 b, 3 c, 3.5 d");
  expect(shown(chain("3"))).toBe("2.25 b, 2.5 c, 2.75 d");
});

test("with constants set high the points an edge is taken from are told exactly, before its resets", () => {
  const told: unknown[] = [];
  const system = systemOf(
    automatonOf({
      a: { invariant: "x <= 7", to: { b: "x > 2, y >= 1 / x" } },
      b: { to: { c: "x <= 1, y <= 20" } },
      c: {},
    }),
  );
  const high = () => Int32Array.of(0, 99, 99, -1);
  explore(
    { ...system, lowerBoundsOf: high, upperBoundsOf: high },
    {
      extrapolation: "lower-upper",
      onEdge: ({ target }, from, zone) =>
        told.push([from, target, zone.leastOf(1), ...[1, 2, 3].map((clock) => zone.greatestOf(clock))]),
    },
  );
  const atMost = (value: number) => ({ value, strict: false });
  expect(told).toEqual([
    [0, 1, { value: 2, strict: true }, atMost(7), atMost(7), undefined],
    [1, 2, atMost(0), atMost(1), atMost(8), undefined],
  ]);
});

test("a location is stuck where no edge can be taken now or later, whether or not time passes", () => {
  expect(stuck({ a: { to: { a: "x <= 3" } } })).toEqual(["a 4"]);
  expect(stuck({ a: { invariant: "x <= 3", to: { a: "x >= 2 / x" } } })).toEqual([]);
  expect(stuck({ a: { invariant: "x <= 3", to: { a: "x >= 2, x < 3 / x" } } })).toEqual(["a 3"]);
  expect(
    stuck({ a: { invariant: "x <= 3", to: { b: "x >= 1" } }, b: { isUrgent: true, to: { a: "y > 2 / x" } } }),
  ).toEqual(["b 1"]);
});

test("a location in which a run may end is not called stuck", () => {
  const system = systemOf(automatonOf({ a: { to: { b: "" } }, b: {} }));
  expect(findStuck(system, {}).stuck.map(({ state }) => state)).toEqual([1]);
  expect(findStuck(system, { mayEnd: (state) => state === 1 }).stuck).toEqual([]);
});

test("bounds that are too low for the comparisons are refused", () => {
  const system = systemOf(automatonOf({ a: { to: { b: "" } }, b: { to: { a: "x > 5" } } }));
  const tooLow = { ...system, lowerBoundsOf: () => Int32Array.of(0, 4, -1, -1) };
  expect(() => explore(tooLow, { extrapolation: "lower-upper" })).toThrow(
    "lower bound of clock 1 in state 1",
  );
  const notCarried = {
    ...system,
    lowerBoundsOf: (state: number) =>
      state === 0 ? Int32Array.of(0, -1, -1, -1) : system.lowerBoundsOf(state),
  };
  expect(() => explore(notCarried, { extrapolation: "lower-upper" })).toThrow(
    "lower bound of clock 1 in state 0",
  );
});

test.each([-1, 1.5, 2 ** 27, Number.NaN])("a limit of %d is refused", (limit) => {
  const automaton = automatonOf({ a: { to: { b: "" } }, b: {} });
  const [first, ...rest] = automaton.locations;
  if (first === undefined) throw new Error("a location");
  const edges = first.edges.map((edge) => ({ ...edge, guard: [{ clock: 1, kind: "over", limit } as const] }));
  const system = systemOf({ ...automaton, locations: [{ ...first, edges }, ...rest] });
  expect(() => explore(system, { extrapolation: "lower-upper" })).toThrow("whole number");
});
