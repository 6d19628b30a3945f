import type { FiniteAutomaton } from "../../../../language/runs/zones/finite-system.ts";
import type { Constraint, TimedEdge } from "../../../../language/runs/zones/timed-system.ts";

/** An automaton in few words: locations by name, each with what is not usual about it. The first is the initial one. */
export interface LocationText {
  readonly invariant?: string;
  readonly deadlines?: string;
  readonly isUrgent?: boolean;
  /** By target: guard and resets, as "x > 3, y <= 2 / x, y"; a decision unless it begins with "~". */
  readonly to?: Readonly<Record<string, string>>;
}

const CLOCKS = ["x", "y", "z"];
const KINDS = { "<=": "at-most", "<": "under", ">=": "at-least", ">": "over" } as const;

/** The state of a location is its place among the names. */
export function automatonOf(text: Readonly<Record<string, LocationText>>): FiniteAutomaton {
  const names = Object.keys(text);
  let id = 0;
  const locations = Object.values(text).map(({ invariant, deadlines, isUrgent, to }) => ({
    invariant: constraints(invariant),
    deadlines: constraints(deadlines),
    isUrgent: isUrgent ?? false,
    edges: Object.entries(to ?? {}).map(([target, words]) => edge(id++, names.indexOf(target), words)),
  }));
  return { clockCount: CLOCKS.length, initial: 0, locations };
}

function edge(id: number, target: number, words: string): TimedEdge {
  const [guard = "", resets = ""] = words.replace("~", "").split("/");
  return {
    id,
    target,
    guard: constraints(guard),
    resets: listed(resets).map((name) => CLOCKS.indexOf(name) + 1),
    isDecision: !words.startsWith("~"),
  };
}

function constraints(text = ""): Constraint[] {
  return listed(text).map((one) => {
    const [name = "", sign = "", limit = ""] = one.split(" ");
    const kind = KINDS[sign as keyof typeof KINDS];
    return { clock: CLOCKS.indexOf(name) + 1, kind, limit: Number(limit) };
  });
}

function listed(text: string): string[] {
  return text
    .split(",")
    .map((part) => part.trim())
    .filter((part) => part !== "");
}
