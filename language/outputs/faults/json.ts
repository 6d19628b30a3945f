import type { Origin, RunEvidence } from "@limbwright/shared/finding";
import { runEvidence } from "../../rules/engine/over-runs.ts";
import { FAULTS, type Fault, type FaultCell, type FaultTable } from "../../runs/index.ts";

/** The table of rules and single faults for programs. */
export interface FaultReport {
  readonly rows: readonly {
    readonly rule: string;
    readonly fault: Fault;
    readonly answer: FaultCell["kind"];
    readonly ways?: number;
    readonly breaking?: number;
    readonly limit?: string;
    /** The first fault that breaks the rule, where it is made, and the run that shows it. */
    readonly says?: string;
    readonly origin?: Origin;
    readonly run?: RunEvidence;
  }[];
  readonly notAsked: readonly string[];
}

export function faultReport({ rows, notAsked }: FaultTable): FaultReport {
  return {
    rows: rows.flatMap(({ rule, cells }) =>
      FAULTS.map((fault) => ({ rule, fault, ...answerOf(cells[fault]) })),
    ),
    notAsked,
  };
}

function answerOf(cell: FaultCell) {
  if (cell.kind !== "breaks") {
    const { kind: answer, ...rest } = cell;
    return { answer, ...rest };
  }
  const { kind: answer, run, ...rest } = cell;
  return { answer, ...rest, run: runEvidence(run) };
}
