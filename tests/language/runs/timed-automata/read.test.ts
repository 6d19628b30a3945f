import { expect, test } from "vitest";
import { readQuestions } from "./read.ts";

const AUTOMATON = {
  id: "one",
  clocks: ["x"],
  initial: "start",
  target: "goal",
  locations: [
    { name: "start", invariant: [{ clock: "x", op: "<=", const: 4 }] },
    { name: "goal", invariant: [] },
  ],
  edges: [{ from: "start", to: "goal", guard: [{ clock: "x", op: "==", const: 3 }], resets: ["x"] }],
};

function read(changed: object) {
  return readQuestions(
    JSON.stringify({ format: "timed-reachability/1", automata: [{ ...AUTOMATON, ...changed }] }),
  );
}

test("an automaton is read", () => {
  const [question] = read({});
  expect(question?.automaton.locations[0]).toEqual({
    invariant: [{ clock: 1, kind: "at-most", limit: 4 }],
    deadlines: [],
    isUrgent: false,
    edges: [
      {
        id: 0,
        target: 1,
        guard: [
          { clock: 1, kind: "at-most", limit: 3 },
          { clock: 1, kind: "at-least", limit: 3 },
        ],
        resets: [1],
        isDecision: true,
      },
    ],
  });
});

test.each([
  [{ target: "elsewhere" }, 'target is "elsewhere", and must be one of: start, goal'],
  [{ clocks: ["x", "x"] }, 'clocks has the name "x" twice'],
  [{ clocks: "x" }, "clocks must be a list"],
  [{ locations: [{ name: "start" }, { name: "goal", invariant: [] }] }, 'locations[0] has no "invariant"'],
  [
    {
      locations: [{ name: "start", invariant: [{ clock: "x", op: ">", const: 1 }] }, AUTOMATON.locations[1]],
    },
    'invariant[0] → op is ">", and must be < or <=',
  ],
  [
    { edges: [{ from: "start", to: "goal", guard: [{ clock: "y", op: ">", const: 1 }], resets: [] }] },
    'edges[0] → guard[0] → clock is "y", and must be one of: x',
  ],
  [
    { edges: [{ from: "start", to: "goal", guard: [{ clock: "x", op: ">", const: 1.5 }], resets: [] }] },
    "const must be a whole number, 0 or more",
  ],
])("what is wrong is said, and where: %j", (changed, words) => {
  expect(() => read(changed)).toThrow(words);
});

test("a text that is not JSON, not of the format, or names an automaton twice is refused", () => {
  expect(() => readQuestions("{")).toThrow("the file is not JSON");
  expect(() => readQuestions('{"automata": []}')).toThrow('the file has no "format"');
  expect(() => readQuestions('{"format": "other", "automata": []}')).toThrow('format is "other"');
  const twice = { format: "timed-reachability/1", automata: [AUTOMATON, AUTOMATON] };
  expect(() => readQuestions(JSON.stringify(twice))).toThrow('automata has the id "one" twice');
});
