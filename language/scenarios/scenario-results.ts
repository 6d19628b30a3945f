import type { Finding } from "@limbwright/shared/finding";
import { judgeAllIn, textFindings } from "../check/judged.ts";
import type { Site, SiteFile } from "../lower/site.ts";
import type { Scenario } from "../model/index.ts";
import type { JudgeOptions } from "../rules/engine/judge.ts";
import { coverageOf, type ProtocolCoverage } from "./coverage.ts";
import { type NoRehearsal, type Rehearsal, rehearsalOf } from "./rehearsal.ts";
import type { ScenarioResult } from "./result.ts";
import { notRun, runScenario } from "./run-scenario.ts";

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
  /** What they touch of each protocol that could be followed. */
  readonly coverage: readonly ProtocolCoverage[];
}

/** Runs every scenario of a file. Undefined when there is no such file. */
export function scenarioResults(site: Site, file: string, options: JudgeOptions): FileScenarios | undefined {
  const read = site.file(file);
  return read && { file, errors: errorsOf(read), ...ran(site, read, read.scenarios, options) };
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
  if (one && another) {
    const { line } = another.origin.start;
    return notRun(one, `Another scenario has this title too, on line ${line}: give each its own.`);
  }
  return read && ran(site, read, named, options).results[0];
}

function ran(
  site: Site,
  read: SiteFile,
  scenarios: readonly Scenario[],
  options: JudgeOptions,
): Pick<FileScenarios, "results" | "coverage"> {
  if (errorsOf(read).length > 0) {
    return { results: scenarios.map((scenario) => notRun(scenario, HAS_ERRORS)), coverage: [] };
  }
  const results = new Map<Scenario, ScenarioResult>();
  const coverage: ProtocolCoverage[] = [];
  for (const name of new Set(scenarios.map(({ protocol }) => protocol))) {
    const rehearsal = rehearse(site, [read.file, ...read.uses], name, options);
    const own = scenarios.filter(({ protocol }) => protocol === name);
    if (rehearsal.kind === "not-ready") {
      for (const scenario of own) results.set(scenario, notRun(scenario, rehearsal.limit));
    } else {
      const rehearsed = own.map((scenario) => ({ scenario, ...runScenario(scenario, rehearsal) }));
      for (const { scenario, result } of rehearsed) results.set(scenario, result);
      coverage.push(coverageOf(rehearsal, rehearsed));
    }
  }
  return { results: scenarios.flatMap((scenario) => results.get(scenario) ?? []), coverage };
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
  const judged = declaring === undefined ? undefined : judgeAllIn(site, declaring, options);
  const one = judged?.find(({ judgement }) => isIt(judgement.protocol));
  return one
    ? rehearsalOf(one, options.on)
    : { kind: "not-ready", limit: `There is no protocol \`${name}\`.` };
}
