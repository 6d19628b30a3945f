import type { ProtocolCoverage, Touchable } from "../../scenarios/coverage.ts";
import { placeInRun } from "../findings/run-lines.ts";
import { paragraph } from "../findings/text-finding.ts";
import { someNames } from "../findings/words.ts";
import type { ScenarioTextOptions } from "./text.ts";

/** What no scenario of some protocols touches: a few of each, or all. */
export function coverageText(coverages: readonly ProtocolCoverage[], options: ScenarioTextOptions): string {
  return coverages.map((coverage) => `${coverageLines(coverage, options).join("\n")}\n\n`).join("");
}

function coverageLines(coverage: ProtocolCoverage, options: ScenarioTextOptions): string[] {
  const { protocol, file, steps, handlers, rules } = coverage;
  const lines = [
    ...untouched("Steps:    ", steps.filter(isUntouched).map(named(file)), steps.length, options),
    ...untouched("Handlers: ", handlers.filter(isUntouched).map(named(file)), handlers.length, options),
    ...untouched(
      "Rules:    ",
      rules.filter(isUntouched).map(({ rule }) => rule),
      rules.length,
      options,
    ),
  ];
  const whole = `Scenarios touch every step, handler and rule of ${protocol} (${file}).`;
  const heading = `No scenario of ${protocol} (${file}) touches:`;
  return [...paragraph("", lines.length > 0 ? heading : whole, options, ""), ...lines];
}

function isUntouched({ isTouched }: { readonly isTouched: boolean }): boolean {
  return !isTouched;
}

/** "inflate distal (line 32)". */
function named(file: string): (touchable: Touchable) => string {
  return ({ says, origin }) => `\`${says}\` (${placeInRun([origin], file)})`;
}

function untouched(
  heading: string,
  names: readonly string[],
  all: number,
  options: ScenarioTextOptions,
): string[] {
  if (names.length === 0) return [];
  return paragraph(heading, `${names.length} of ${all}: ${someNames(names, options.verbose)}`, options);
}
