import { brokenRules, isOnlyTooLate } from "../runtime/broken.ts";
import type { Program } from "../runtime/program.ts";
import type { Named, Told } from "./known-events.ts";
import type { SlipFacts } from "./slip.ts";
import type { BrokenCheck, Measured } from "./stepper.ts";
import { breaksWords, earlyWords, lateWords, leakWords, wordsForLeftOut } from "./words.ts";

/** A slip that was found, the breaks of rules that are told with it, and by how many seconds it was overdue. */
interface FoundSlip {
  readonly facts: SlipFacts;
  readonly broken: readonly BrokenCheck[];
  readonly overdue: number;
}

interface Missed {
  readonly missed: readonly Named[];
  /** The edge of the first of them. */
  readonly edge: number | undefined;
}

/** What is amiss on a way: one slip for what is missing or too early, one for what is too late. */
export function slipsOn(program: Program, measured: Measured, told: Told, missed: Missed): FoundSlip[] {
  const isLate = ({ check }: BrokenCheck) => isOnlyTooLate(program, check);
  const lateRules = measured.rules.filter(isLate);
  const rules = measured.rules.filter((rule) => !isLate(rule));
  const facts = factsOf(program, { ...measured, rules }, told, missed);
  const late = lateOf(program, { ...measured, rules: lateRules }, told);
  return [...(facts ? [{ facts, broken: rules, overdue: 0 }] : []), ...(late ? [late] : [])];
}

function factsOf(
  program: Program,
  { way, early, rules: broken }: Measured,
  { event, at, line }: Told,
  { missed, edge }: Missed,
): SlipFacts | undefined {
  const what = event.says;
  const rules = namesOf(program, broken);
  const base = { what, at, line, rules, edge: way.edge };
  if (missed.length > 0) {
    const names = missed.map(({ says }) => says);
    const words = wordsForLeftOut(names, what, at);
    const steps = { missed: { steps: missed, before: what }, what: names.join(", ") };
    return { ...base, ...steps, kind: "left-out", edge: edge ?? way.edge, words };
  }
  const by = Math.max(0, ...[...early, ...broken].map(({ by: one = 0 }) => one));
  const timed = by > 0 ? { by } : {};
  if (event.kind === "leak")
    return { ...base, ...timed, kind: "unplanned-release", words: leakWords(what, at) };
  if (by > 0) {
    const cut = early.find((one) => one.edge !== way.edge)?.edge;
    return { ...base, by, kind: "too-early", words: earlyWords(what, at, by, saysOf(program, cut)) };
  }
  return rules.length > 0 ? { ...base, kind: "breaks-rule", words: breaksWords(what, at, rules) } : undefined;
}

function lateOf(
  program: Program,
  { way, late, rules }: Measured,
  { event, at, line }: Told,
): FoundSlip | undefined {
  if (late.length === 0 && rules.length === 0) return undefined;
  const overdue = Math.max(0, ...late.map(({ by }) => by));
  const by = Math.max(overdue, ...rules.map(({ by: one = 0 }) => -one));
  const due = late.find((one) => one.edge !== way.edge)?.edge;
  const words = lateWords(event.says, at, by, saysOf(program, due));
  const names = namesOf(program, rules);
  const facts = {
    kind: "too-late",
    what: event.says,
    at,
    line,
    by,
    rules: names,
    edge: way.edge,
    words,
  } as const;
  return { facts, broken: rules, overdue };
}

function namesOf(program: Program, broken: readonly BrokenCheck[]) {
  return brokenRules(
    program,
    broken.map(({ check }) => check),
  );
}

function saysOf({ automaton }: Program, edge: number | undefined): string | undefined {
  return edge === undefined ? undefined : automaton.edges[edge]?.says;
}
