import type { FiniteAutomaton, FiniteLocation } from "../../language/runs/zones/finite-system.ts";
import type { Constraint } from "../../language/runs/zones/timed-system.ts";
import { smtAnd } from "./smt.ts";

/**
 * An automaton as Horn clauses over the reals, one relation for each location: the clock values at which a run
 * of any length can be there. The text asks whether the target stays empty: `sat` when no run enters it.
 */
export function hornClauses({ clockCount, initial, locations }: FiniteAutomaton, target: number): string {
  const clocks = Array.from({ length: clockCount }, (_, at) => `x${at + 1}`);
  const bound = clocks.map((clock) => `(${clock} Real)`).join(" ");
  const at = (location: number, values: readonly string[]): string => `(r${location} ${values.join(" ")})`;
  const rule = (premises: readonly string[], conclusion: string): string =>
    `(assert (forall (${bound} (d Real)) (=> ${smtAnd(premises)} ${conclusion})))`;
  const zeros = clocks.map(() => "0.0");
  const rules = [
    rule(constraintsOn(locations[initial]?.invariant ?? [], zeros), at(initial, zeros)),
    rule([at(target, clocks)], "false"),
  ];
  locations.forEach((location, from) => {
    const later = clocks.map((clock) => `(+ ${clock} d)`);
    if (!location.isUrgent) rules.push(rule([at(from, clocks), ...wait(location, later)], at(from, later)));
    for (const { target: to, guard, resets } of location.edges) {
      const values = clocks.map((clock, index) => (resets.includes(index + 1) ? "0.0" : clock));
      const entered = constraintsOn(locations[to]?.invariant ?? [], values);
      rules.push(rule([at(from, clocks), ...constraintsOn(guard, clocks), ...entered], at(to, values)));
    }
  });
  const sorts = clocks.map(() => "Real").join(" ");
  const relations = locations.map((_, location) => `(declare-fun r${location} (${sorts}) Bool)`);
  return ["(set-logic HORN)", ...relations, ...rules, "(check-sat)"].join("\n");
}

function wait({ invariant, deadlines }: FiniteLocation, later: readonly string[]): string[] {
  return ["(> d 0.0)", ...constraintsOn([...invariant, ...deadlines], later)];
}

function constraintsOn(constraints: readonly Constraint[], values: readonly string[]): string[] {
  const signs = { "at-most": "<=", under: "<", "at-least": ">=", over: ">" } as const;
  return constraints.map(({ clock, kind, limit }) => `(${signs[kind]} ${values[clock - 1]} ${limit}.0)`);
}
