import type { FiniteAutomaton } from "../../../../language/runs/zones/finite-system.ts";
import type { Constraint, TimedEdge } from "../../../../language/runs/zones/timed-system.ts";
import { Field } from "./field.ts";

/** A question to the engine alone: can the automaton enter the target, when at the earliest, where is it stuck? */
export interface ReachabilityQuestion {
  readonly id: string;
  readonly locationNames: readonly string[];
  readonly target: number;
  readonly automaton: FiniteAutomaton;
}

const FORMAT = "timed-reachability/1";
const KINDS = {
  "<": ["under"],
  "<=": ["at-most"],
  ">": ["over"],
  ">=": ["at-least"],
  "==": ["at-most", "at-least"],
} as const;
type Sign = keyof typeof KINDS;
const SIGNS: readonly Sign[] = ["<", "<=", ">", ">=", "=="];
const SIGNS_OF_INVARIANTS: readonly Sign[] = ["<", "<="];

/**
 * Reads the text of a file of automata: JSON with `format` and `automata`, each with `id`, `clocks`, `initial`,
 * `target`, `locations` (`name`, `invariant`) and `edges` (`from`, `to`, `guard`, `resets`); a constraint has
 * `clock`, `op` and `const`. Other fields, such as known answers, are passed over. Every edge counts as one
 * decision. Throws an `Error` that says where the text is wrong.
 */
export function readQuestions(text: string): ReachabilityQuestion[] {
  const file = new Field(parsed(text), "the file");
  file.at("format").oneOf([FORMAT]);
  const questions = file.at("automata").items().map(readQuestion);
  refuseTwice(
    questions.map(({ id }) => id),
    file.at("automata"),
    "id",
  );
  return questions;
}

function parsed(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch (error) {
    throw new Error(`the file is not JSON: ${error instanceof Error ? error.message : error}`, {
      cause: error,
    });
  }
}

function readQuestion(field: Field): ReachabilityQuestion {
  const clocks = names(field.at("clocks"), (item) => item.text());
  const locationNames = names(field.at("locations"), (item) => item.at("name").text());
  const edges = field.at("edges").items();
  const from = edges.map((edge) => edge.at("from").positionIn(locationNames));
  const read = edges.map((edge, id) => readEdge(edge, id, clocks, locationNames));
  const locations = field
    .at("locations")
    .items()
    .map((location, state) => ({
      invariant: readConstraints(location.at("invariant"), clocks, SIGNS_OF_INVARIANTS),
      deadlines: [],
      isUrgent: false,
      edges: read.filter((_, id) => from[id] === state),
    }));
  return {
    id: field.at("id").text(),
    locationNames,
    target: field.at("target").positionIn(locationNames),
    automaton: {
      clockCount: clocks.length,
      initial: field.at("initial").positionIn(locationNames),
      locations,
    },
  };
}

function readEdge(
  field: Field,
  id: number,
  clocks: readonly string[],
  locationNames: readonly string[],
): TimedEdge {
  return {
    id,
    target: field.at("to").positionIn(locationNames),
    guard: readConstraints(field.at("guard"), clocks, SIGNS),
    resets: field
      .at("resets")
      .items()
      .map((clock) => clock.positionIn(clocks) + 1),
    isDecision: true,
  };
}

function readConstraints(field: Field, clocks: readonly string[], signs: readonly Sign[]): Constraint[] {
  return field.items().flatMap((item) => {
    const clock = item.at("clock").positionIn(clocks) + 1;
    const limit = item.at("const").wholeNumber();
    return KINDS[item.at("op").oneOf(signs)].map((kind) => ({ clock, kind, limit }));
  });
}

function names(field: Field, nameOf: (item: Field) => string): string[] {
  const found = field.items().map(nameOf);
  refuseTwice(found, field, "name");
  return found;
}

function refuseTwice(found: readonly string[], field: Field, what: string): void {
  const twice = found.find((name, at) => found.indexOf(name) !== at);
  if (twice !== undefined) throw field.problem(`has the ${what} ${JSON.stringify(twice)} twice`);
}
