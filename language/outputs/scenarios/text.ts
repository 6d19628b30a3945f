import type { RunEvidence } from "@limbwright/shared/finding";
import { CAUTION, plainCharacters } from "@limbwright/shared/text";
import type { LineResult, ScenarioOutcome, ScenarioResult } from "../../scenarios/result.ts";
import type { FileScenarios } from "../../scenarios/scenario-results.ts";
import { excerpt } from "../findings/excerpt.ts";
import type { Paint } from "../findings/paint.ts";
import { runLines } from "../findings/run-lines.ts";
import { paintOf, paragraph, type TextOptions } from "../findings/text-finding.ts";
import { countText, placeText } from "../findings/words.ts";
import type { ScenarioTally } from "./tally.ts";

export interface ScenarioTextOptions extends TextOptions {
  /** Shows every expectation, also those that passed, and tells runs line by line. */
  readonly verbose: boolean;
}

/** The scenarios of one file for a reader: a line for each that passed; what was expected and found for the others. */
export function scenariosText(
  { file, errors, results }: FileScenarios,
  options: ScenarioTextOptions,
): string {
  const blocks = results.map((result) => scenarioLines(result, options));
  if (errors.length > 0) {
    const count = countText(errors.length, "error");
    const what = `${file} has ${count}, so no scenario in it is decided; one may not even have been recognised. \`limb check\` shows what to mend.`;
    blocks.push([...paragraph("", what, options, ""), ""]);
  }
  return blocks.map((lines) => `${lines.join("\n")}\n`).join("");
}

/** What all came to, and the caution. */
export function scenarioEndText(tally: ScenarioTally, options: ScenarioTextOptions): string {
  const { passed, failed, "not-decided": open } = tally.byOutcome;
  const ran = `Ran ${countText(passed + failed + open, "scenario")} in ${countText(tally.files, "file")}`;
  const parts = [
    failed > 0 && `${failed} failed`,
    open > 0 && `${open} not decided, which is not a pass`,
    `${passed} passed`,
  ].filter(Boolean);
  const lines = [
    ...paragraph("", `${ran}: ${parts.join("; ")}.`, options, ""),
    ...(tally.withErrors > 0
      ? paragraph(
          "",
          `Not understood: ${countText(tally.withErrors, "file")} with errors, named above.`,
          options,
          "",
        )
      : []),
    "",
    ...paragraph("", CAUTION, options, ""),
  ];
  return `${lines.join("\n")}\n`;
}

const WORDS: Readonly<Record<ScenarioOutcome, string>> = {
  passed: "passed",
  failed: "failed",
  "not-decided": "not decided",
};

/** One scenario for a reader; nothing follows a line that stands for itself. */
export function scenarioLines(result: ScenarioResult, options: ScenarioTextOptions): string[] {
  const { outcome, limit, lines, timeline } = result;
  const shown = lines.filter((line) => isShown(line, options));
  const told = Math.max(0, ...shown.filter(isOpen).map((line) => line.told));
  const run = { lines: timeline.lines.slice(0, told) };
  return [
    ...headingLines(result, options),
    ...(limit === undefined ? [] : paragraph("", limit, options)),
    ...shown.flatMap((line) => lineLines(line, options)),
    ...timelineLines(run, options),
    ...(outcome !== "passed" || options.verbose ? [""] : []),
  ];
}

/** What happened, with lines of the file in which most of it is written: that of the first step. */
function timelineLines(run: RunEvidence, options: ScenarioTextOptions): string[] {
  const origin = run.lines.find((line) => line.origin)?.origin;
  if (!origin) return [];
  const heading = `What happened until then, by ${plainCharacters(origin.file)}`;
  return runLines(run, origin.file, { ...options, paint: paintOf(options), heading });
}

/** "failed  Surgery finishes early                  scenarios/wrist.limb:5:1", the place at the right edge. */
function headingLines({ outcome, title, origin }: ScenarioResult, options: ScenarioTextOptions): string[] {
  const place = plainCharacters(placeText(origin));
  const words = WORDS[outcome];
  const name = plainCharacters(title);
  const gap = options.width - words.length - name.length - place.length - 2;
  const heading = `${markOf(outcome, paintOf(options))(words)}  ${name}`;
  return gap >= 2 ? [`${heading}${" ".repeat(gap)}${place}`] : [heading, `  ${place}`];
}

function isOpen({ outcome }: LineResult): boolean {
  return outcome === "failed" || outcome === "not-decided";
}

function isShown(line: LineResult, { verbose }: ScenarioTextOptions): boolean {
  return isOpen(line) || (verbose && line.outcome === "passed");
}

function lineLines(line: LineResult, options: ScenarioTextOptions): string[] {
  if (line.outcome === "done") return [];
  const paint = paintOf(options);
  const text = options.textOf(line.origin.file);
  const mark = markOf(line.outcome, paint);
  const found = line.outcome === "not-decided" ? ["Why:      ", line.limit] : ["Found:    ", line.found];
  return [
    ...(text === undefined
      ? []
      : excerpt(text, line.origin, WORDS[line.outcome], options.width, mark, paint)),
    ...(line.expected === undefined ? [] : paragraph("Expected: ", line.expected, options)),
    ...(line.when === undefined ? [] : paragraph("When:     ", line.when, options)),
    ...paragraph(found[0] ?? "", found[1] ?? "", options),
  ];
}

function markOf(outcome: ScenarioOutcome, paint: Paint): (text: string) => string {
  if (outcome === "passed") return paint.accepted;
  return (text) => paint.severity(outcome === "failed" ? "error" : "doubtful", text);
}
