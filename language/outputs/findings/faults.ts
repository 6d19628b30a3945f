import type { Origin, RunEvidence } from "@limbwright/shared/finding";
import { runEvidence } from "../../rules/engine/over-runs.ts";
import { FAULTS, type Fault, type FaultCell, type FaultRow, type FaultTable } from "../../runs/index.ts";
import { runLines } from "./run-lines.ts";
import { paintOf, paragraph, type TextOptions, wholeParagraph } from "./text-finding.ts";
import { placeText } from "./words.ts";

/** The columns: what the fault is, and the word above the column. */
const COLUMNS: Readonly<Record<Fault, { readonly head: string; readonly means: string }>> = {
  leak: { head: "leak", means: "a cuff loses pressure at any moment" },
  "both-leak": { head: "both", means: "both cuffs lose pressure together" },
  skipped: { head: "skip", means: "a step is skipped" },
  twice: { head: "twice", means: "a step is done twice" },
  swapped: { head: "swap", means: "two neighbouring steps change places" },
  "wrong-cuff": { head: "cuff", means: "a step is done on the other cuff" },
  "wrong-line": { head: "line", means: "the drug goes into the line of another limb" },
};

const WORDS: Readonly<Record<FaultCell["kind"], string>> = {
  survives: "holds",
  breaks: "BREAKS",
  "not-decided": "?",
  absent: "-",
};

const WIDTH = 7;

/** The table of rules and single faults, and under it for every fault that breaks a rule the run that does so. */
export function faultLines(table: FaultTable, protocol: string, options: TextOptions): string[] {
  const say = (text: string) => wholeParagraph(text, options);
  const first = Math.max(...table.rows.map(({ rule }) => rule.length), 4) + 2;
  return [
    ...say(`Single faults in ${protocol}: what one slip, made once in a run, does to each rule.`),
    "",
    `${"rule".padEnd(first)}${FAULTS.map((fault) => COLUMNS[fault].head.padEnd(WIDTH)).join("")}`.trimEnd(),
    ...table.rows.map((row) => rowLine(row, first)),
    "",
    ...FAULTS.map((fault) => `  ${COLUMNS[fault].head.padEnd(WIDTH)}${COLUMNS[fault].means}`),
    ...say(
      "holds: no run with such a fault breaks the rule, as far as it breaks no other rule before. ? not decided. - this fault cannot be made here.",
    ),
    ...notAskedLines(table, options),
    ...table.rows.flatMap((row) => runsOf(row, options)),
  ];
}

function rowLine({ rule, cells }: FaultRow, first: number): string {
  const words = FAULTS.map((fault) => WORDS[cells[fault].kind].padEnd(WIDTH));
  return `${rule.padEnd(first)}${words.join("")}`.trimEnd();
}

function notAskedLines({ notAsked }: FaultTable, options: TextOptions): string[] {
  if (notAsked.length === 0) return [];
  return wholeParagraph(
    `Not asked, since broken or not decided without a fault: ${notAsked.join(", ")}.`,
    options,
  );
}

function runsOf({ rule, cells }: FaultRow, options: TextOptions): string[] {
  return FAULTS.flatMap((fault) => {
    const cell = cells[fault];
    if (cell.kind === "not-decided")
      return wholeParagraph(`${rule}, ${COLUMNS[fault].head}: not decided, ${cell.limit}.`, options);
    if (cell.kind !== "breaks") return [];
    const { says, origin, run, breaking, ways } = cell;
    const others = ways > 1 ? ` ${breaking} of ${ways} such faults break it.` : "";
    return [
      "",
      ...wholeParagraph(`${rule}, ${COLUMNS[fault].head}: ${says} (${placeText(origin)}).${others}`, options),
      ...showRun(runEvidence(run), origin, options),
    ];
  });
}

/** Its key moments in a row; with --verbose line by line. */
function showRun(run: RunEvidence, origin: Origin, options: TextOptions): string[] {
  if (options.verbose) return runLines(run, origin.file, { ...options, paint: paintOf(options) });
  const moments = run.lines.filter(({ isKey }) => isKey).map(({ time, what }) => `${time} ${what}`);
  const { after } = run.lines.at(-1) ?? { after: "" };
  return paragraph("", `${[...moments, ...(after === "" ? [] : [after])].join(" → ")}.`, options, "    ");
}

/** The table of rules and single faults for programs. */
export function faultReport({ rows, notAsked }: FaultTable) {
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
