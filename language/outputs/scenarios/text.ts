import type { RunEvidence } from "@limbwright/shared/finding";
import { CAUTION, plainCharacters } from "@limbwright/shared/text";
import type { ProtocolCoverage, Touchable } from "../../scenarios/coverage.ts";
import type { LineResult, ScenarioOutcome, ScenarioResult } from "../../scenarios/result.ts";
import type { FileScenarios } from "../../scenarios/scenario-results.ts";
import { placeInRun, runLines } from "../findings/run-lines.ts";
import { excerpt, type Paint } from "../findings/terminal.ts";
import {
  headingLines,
  paintOf,
  paragraph,
  type TextOptions,
  wholeParagraph,
} from "../findings/text-finding.ts";
import { countText, someNames } from "../findings/words.ts";

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
    blocks.push([...wholeParagraph(what, options), ""]);
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
    ...wholeParagraph(`${ran}: ${parts.join("; ")}.`, options),
    ...(tally.withErrors > 0
      ? wholeParagraph(
          `Not understood: ${countText(tally.withErrors, "file")} with errors, named above.`,
          options,
        )
      : []),
    "",
    ...wholeParagraph(CAUTION, options),
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
  const { outcome, title, origin, limit, lines, timeline } = result;
  const shown = lines.filter((line) => isShown(line, options));
  const told = Math.max(0, ...shown.filter(isOpen).map((line) => line.told));
  const run = { lines: timeline.lines.slice(0, told) };
  return [
    ...headingLines(WORDS[outcome], plainCharacters(title), origin, {
      mark: markOf(outcome, paintOf(options)),
      width: options.width,
    }),
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

/** What no scenario of some protocols touches: a few of each, or all. */
export function coverageText(coverages: readonly ProtocolCoverage[], options: ScenarioTextOptions): string {
  return coverages.map((coverage) => `${coverageLines(coverage, options).join("\n")}\n\n`).join("");
}

function coverageLines(coverage: ProtocolCoverage, options: ScenarioTextOptions): string[] {
  const { protocol, file, steps, handlers, rules } = coverage;
  const nameOf = ({ says, origin }: Touchable) => `\`${says}\` (${placeInRun([origin], file)})`;
  const lines = [
    ...tell("Steps:    ", steps, nameOf, options),
    ...tell("Handlers: ", handlers, nameOf, options),
    ...tell("Rules:    ", rules, ({ rule }) => rule, options),
  ];
  const whole = `Scenarios touch every step, handler and rule of ${protocol} (${file}).`;
  const heading = `No scenario of ${protocol} (${file}) touches:`;
  return [...wholeParagraph(lines.length > 0 ? heading : whole, options), ...lines];
}

/** Of all that can be touched, by name what is not. */
function tell<One extends { readonly isTouched: boolean }>(
  heading: string,
  all: readonly One[],
  nameOf: (one: One) => string,
  options: ScenarioTextOptions,
): string[] {
  const names = all.filter(({ isTouched }) => !isTouched).map(nameOf);
  if (names.length === 0) return [];
  return paragraph(
    heading,
    `${names.length} of ${all.length}: ${someNames(names, options.verbose)}`,
    options,
  );
}

/** What the scenarios of some files came to. */
export interface ScenarioTally {
  /** Files that have a scenario. */
  readonly files: number;
  readonly byOutcome: Readonly<Record<ScenarioOutcome, number>>;
  /** Files in whose text are errors: a scenario may be hidden there. */
  readonly withErrors: number;
}

export function scenarioTally(files: readonly FileScenarios[]): ScenarioTally {
  const byOutcome = { passed: 0, failed: 0, "not-decided": 0 };
  for (const { outcome } of files.flatMap(({ results }) => results)) byOutcome[outcome] += 1;
  return {
    files: files.filter(({ results }) => results.length > 0).length,
    byOutcome,
    withErrors: files.filter(({ errors }) => errors.length > 0).length,
  };
}
