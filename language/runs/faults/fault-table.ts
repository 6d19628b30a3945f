import type { Origin } from "@limbwright/shared/finding";
import type { Protocol } from "../../model/index.ts";
import { cuffNames } from "../automaton/facts.ts";
import type { Leaks } from "../automaton/place.ts";
import type { Run, UntimedRuns } from "../runs.ts";
import { SLIPS, type Slip, slipsOf } from "./slips.ts";

/** One cuff loses its pressure, both do so together, or a slip of the hand. */
export type Fault = "leak" | "both-leak" | Slip;

export const FAULTS: readonly Fault[] = ["leak", "both-leak", ...SLIPS];

/** What single faults do to rules that hold without them. */
export interface FaultTable {
  readonly rows: readonly FaultRow[];
  /** Rules that are broken or not decided without any fault. */
  readonly notAsked: readonly string[];
}

export interface FaultRow {
  readonly rule: string;
  readonly cells: Readonly<Record<Fault, FaultCell>>;
}

/**
 * `survives`: no run with such a fault breaks the rule, as far as it breaks no other before. `absent`: the
 * protocol offers no way of making the fault. Of those that break it, the first in the order of the text.
 */
export type FaultCell =
  | { readonly kind: "survives"; readonly ways: number }
  | {
      readonly kind: "breaks";
      readonly says: string;
      readonly origin: Origin;
      readonly run: Run;
      readonly breaking: number;
      readonly ways: number;
    }
  | { readonly kind: "not-decided"; readonly limit: string }
  | { readonly kind: "absent" };

export interface FaultSetting {
  /** The rules to ask: those that hold without a fault. */
  readonly rules: readonly string[];
  readonly notAsked: readonly string[];
  readonly explore: (protocol: Protocol, leaks?: Leaks) => UntimedRuns;
}

/** A protocol with one fault, and the runs it then allows. */
interface Faulty {
  readonly fault: Fault;
  readonly says: string;
  readonly origin: Origin;
  readonly runs: UntimedRuns;
}

/** Tries every single fault. The faults of a cell are tried until the last, since all are counted. */
export function faultTable(protocol: Protocol, { rules, notAsked, explore }: FaultSetting): FaultTable {
  const tallies = new Map(rules.map((rule) => [rule, new Map<Fault, FaultCell>()]));
  for (const faulty of faultyRuns(protocol, explore)) {
    for (const [rule, cells] of tallies) {
      cells.set(faulty.fault, countFaulty(cells.get(faulty.fault) ?? { kind: "absent" }, faulty, rule));
    }
  }
  const absent: FaultCell = { kind: "absent" };
  return {
    notAsked,
    rows: [...tallies].map(([rule, cells]) => ({
      rule,
      cells: Object.fromEntries(
        FAULTS.map((fault) => [fault, cells.get(fault) ?? absent]),
      ) as FaultRow["cells"],
    })),
  };
}

function* faultyRuns(protocol: Protocol, explore: FaultSetting["explore"]): Generator<Faulty> {
  const origin = protocol.cuffs?.origin ?? protocol.nameOrigin;
  const cuffs = cuffNames(protocol);
  yield { fault: "leak", says: "a cuff loses pressure", origin, runs: explore(protocol, "one") };
  if (cuffs.length > 1) {
    const runs = explore(protocol, "both");
    yield { fault: "both-leak", says: "both cuffs lose pressure together", origin, runs };
  }
  for (const { slip, says, origin: at, protocol: slipped } of slipsOf(protocol)) {
    yield { fault: slip, says, origin: at, runs: explore(slipped) };
  }
}

function countFaulty(cell: FaultCell, { says, origin, runs }: Faulty, rule: string): FaultCell {
  if (cell.kind === "not-decided") return cell;
  if (runs.kind === "not-explored") return { kind: "not-decided", limit: runs.limit };
  const ways = cell.kind === "absent" ? 1 : cell.ways + 1;
  if (runs.breaks(rule)) {
    if (cell.kind === "breaks") return { ...cell, ways, breaking: cell.breaking + 1 };
    const [first] = runs.brokenBy(rule);
    return first
      ? { kind: "breaks", says, origin, run: first.run, breaking: 1, ways }
      : { kind: "not-decided", limit: "the run could not be shown" };
  }
  if (runs.limit !== undefined) return { kind: "not-decided", limit: runs.limit };
  return cell.kind === "breaks" ? { ...cell, ways } : { kind: "survives", ways };
}
