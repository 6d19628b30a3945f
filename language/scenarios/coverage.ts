import { compareOrigins, type Origin } from "@limbwright/shared/finding";
import type { Rehearsal } from "./rehearsal.ts";
import type { Rehearsed } from "./run-scenario.ts";

/**
 * What of a protocol its scenarios touch. It tells an author what no worked case shows yet; that all is touched proves
 * nothing, as a run that is gone through proves nothing of the others.
 */
export interface ProtocolCoverage {
  readonly protocol: string;
  /** The file that declares it. */
  readonly file: string;
  /** The steps that a run begins, and the answers to questions, in the order of the text. */
  readonly steps: readonly Touchable[];
  /** The handlers that a run enters. */
  readonly handlers: readonly Touchable[];
  /** The rules by which an expectation says that a step is refused, of those that are watched for at steps. */
  readonly rules: readonly { readonly rule: string; readonly isTouched: boolean }[];
}

export interface Touchable {
  /** In the words of the protocol. */
  readonly says: string;
  readonly origin: Origin;
  /** Of an answer. */
  readonly answer?: "yes" | "no";
  readonly isTouched: boolean;
}

/** What some scenarios touch of the protocol that they were run with. */
export function coverageOf(
  { protocol, traced }: Rehearsal,
  rehearsed: readonly Rehearsed[],
): ProtocolCoverage {
  const taken = new Set(rehearsed.flatMap((one) => one.taken));
  const named = new Set(rehearsed.flatMap((one) => one.rules));
  const elements = (isWanted: (kind: string) => boolean) =>
    traced.elements
      .filter(({ kind, edges }) => isWanted(kind) && edges.length > 0)
      .map(({ says, origin, answer, edges }) => ({
        says,
        origin,
        ...(answer && { answer }),
        isTouched: edges.some((edge) => taken.has(edge)),
      }));
  const rules = [...new Set(traced.automaton.checks.map(({ rule }) => rule))].sort();
  return {
    protocol: protocol.name,
    file: protocol.origin.file,
    steps: eachOnce(elements((kind) => kind !== "handler")),
    handlers: eachOnce(elements((kind) => kind === "handler")),
    rules: rules.map((rule) => ({ rule, isTouched: named.has(rule) })),
  };
}

/** One for each protocol, touched by what touches it in any of several files. */
export function togetherCovered(coverages: readonly ProtocolCoverage[]): ProtocolCoverage[] {
  const known = new Map<string, ProtocolCoverage>();
  for (const coverage of coverages) {
    const key = `${coverage.file} ${coverage.protocol}`;
    const earlier = known.get(key);
    known.set(key, earlier ? joinCoverage(earlier, coverage) : coverage);
  }
  return [...known.values()];
}

function joinCoverage(one: ProtocolCoverage, other: ProtocolCoverage): ProtocolCoverage {
  const touched = new Set(other.rules.flatMap(({ rule, isTouched }) => (isTouched ? [rule] : [])));
  return {
    ...one,
    steps: eachOnce([...one.steps, ...other.steps]),
    handlers: eachOnce([...one.handlers, ...other.handlers]),
    rules: one.rules.map(({ rule, isTouched }) => ({ rule, isTouched: isTouched || touched.has(rule) })),
  };
}

/** In the order of the text; what stands once in it, as a step of a routine, is touched where any use of it is. */
function eachOnce(touchables: readonly Touchable[]): Touchable[] {
  const known = new Map<string, Touchable>();
  for (const one of touchables) {
    const { origin, answer } = one;
    const key = `${origin.file} ${origin.start.offset} ${answer}`;
    const isTouched = one.isTouched || (known.get(key)?.isTouched ?? false);
    known.set(key, { ...one, isTouched });
  }
  return [...known.values()].sort((a, b) => compareOrigins(a.origin, b.origin));
}
