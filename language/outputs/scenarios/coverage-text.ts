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
    ...tell("Steps:    ", steps.filter(isUntouched).map(nameOf(file)), steps.length, options),
    ...tell("Handlers: ", handlers.filter(isUntouched).map(nameOf(file)), handlers.length, options),
    ...tell(
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
function nameOf(file: string): (touchable: Touchable) => string {
  return ({ says, origin }) => `\`${says}\` (${placeInRun([origin], file)})`;
}

function tell(
  heading: string,
  names: readonly string[],
  all: number,
  options: ScenarioTextOptions,
): string[] {
  if (names.length === 0) return [];
  return paragraph(heading, `${names.length} of ${all}: ${someNames(names, options.verbose)}`, options);
}
