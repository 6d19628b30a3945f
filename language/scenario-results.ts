import type { Finding } from "@limbwright/shared/finding";
import { textFindings } from "./check.ts";
import { judgedIn } from "./judged.ts";
import type { Site, SiteFile } from "./lower/site.ts";
import type { Scenario } from "./model/index.ts";
import type { JudgeOptions } from "./rules/judge.ts";
import { type NoRehearsal, type Rehearsal, rehearsalOf } from "./scenarios/rehearsal.ts";
import type { ScenarioResult } from "./scenarios/result.ts";
import { notRun, runScenario } from "./scenarios/run-scenario.ts";

/** What the scenarios of a file came to. */
export interface FileScenarios {
  readonly file: string;
  /**
   * Errors in its text. While there are any, no scenario of it is decided: what they expect may not have been understood, and
   * one that was not recognised at all is not even among the results.
   */
  readonly errors: readonly Finding[];
  /** One for each scenario, in the order of the text. */
  readonly results: readonly ScenarioResult[];
}

/** Runs every scenario of a file. Undefined when there is no such file. */
export function scenarioResults(site: Site, file: string, options: JudgeOptions): FileScenarios | undefined {
  const read = site.file(file);
  return read && { file, errors: errorsOf(read), results: ran(site, read, read.scenarios, options) };
}

/**
 * Runs the scenario of a file that has this title. Undefined when there is none; not decided when there are several.
 */
export function scenarioResult(
  site: Site,
  file: string,
  title: string,
  options: JudgeOptions,
): ScenarioResult | undefined {
  const read = site.file(file);
  const named = read?.scenarios.filter((scenario) => scenario.title === title) ?? [];
  const [one, another] = named;
  if (one && another)
    return notRun(
      one,
      `Another scenario has this title too, on line ${another.origin.start.line}: give each its own.`,
    );
  return read && ran(site, read, named, options)[0];
}

function ran(
  site: Site,
  read: SiteFile,
  scenarios: readonly Scenario[],
  options: JudgeOptions,
): ScenarioResult[] {
  if (errorsOf(read).length > 0) return scenarios.map((scenario) => notRun(scenario, HAS_ERRORS));
  const rehearsals = new Map<string, Rehearsal | NoRehearsal>();
  return scenarios.map((scenario) => {
    const { protocol } = scenario;
    const rehearsal =
      rehearsals.get(protocol) ?? rehearse(site, [read.file, ...read.uses], protocol, options);
    rehearsals.set(protocol, rehearsal);
    return runScenario(scenario, rehearsal);
  });
}

function errorsOf(read: SiteFile): Finding[] {
  return textFindings(read).filter(({ severity }) => severity === "error");
}

const HAS_ERRORS =
  "There are errors in this file, so it may not say what is meant. Mend what `limb check` finds first.";

/** Makes the protocol of that name ready: that of the first file that declares one. */
function rehearse(
  site: Site,
  files: readonly string[],
  name: string,
  options: JudgeOptions,
): Rehearsal | NoRehearsal {
  const isIt = (protocol: { readonly name: string }) => protocol.name === name;
  const declaring = files.find((file) => site.file(file)?.protocols.some(isIt));
  const judged = declaring === undefined ? undefined : judgedIn(site, declaring, options);
  const one = judged?.find(({ judgement }) => isIt(judgement.protocol));
  return one ? rehearsalOf(one) : { kind: "not-ready", limit: `There is no protocol \`${name}\`.` };
}
