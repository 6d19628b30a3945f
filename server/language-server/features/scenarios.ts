import type { ScenarioResult } from "@limbwright/language";
import { CAUTION } from "@limbwright/language/editor";
import {
  type ListedScenario,
  RUN_SCENARIO,
  type RunScenarioAsked,
  SCENARIOS,
  type ScenarioLineRan,
  type ScenarioRan,
  type ScenariosAsked,
} from "@limbwright/shared/editor";
import { rangeOf } from "../places.ts";
import { type AskedText, type Feature, findText, inText } from "../service.ts";
import { stepsShown } from "../steps-shown.ts";

/** The scenarios of a text, and what one of them comes to. */
export const scenarios: Feature = {
  offers: () => ({ experimental: { scenarios: true } }),
  register: (service) => {
    const { connection, checker } = service;
    connection.onRequest(SCENARIOS, ({ uri }: ScenariosAsked): ListedScenario[] | null =>
      inText(service, { textDocument: { uri } }, scenariosIn),
    );
    connection.onRequest(
      RUN_SCENARIO,
      async ({ uri, scenario }: RunScenarioAsked): Promise<ScenarioRan | null> => {
        const asked = findText(service, { uri });
        if (!asked) return null;
        const { result, isStale } = await checker.runScenario(asked, scenario);
        return result ? ranOf(asked, result, isStale) : null;
      },
    );
  },
};

/** The scenarios of a text, in its order. */
export function scenariosIn({ site, file }: Pick<AskedText, "site" | "file">): ListedScenario[] {
  return (site.file(file)?.scenarios ?? []).map(listScenario);
}

function listScenario({ title, protocol, origin }: Pick<ScenarioResult, "title" | "protocol" | "origin">) {
  return { name: title, protocol, range: rangeOf(origin) };
}

function ranOf({ folder }: AskedText, result: ScenarioResult, isStale: boolean): ScenarioRan {
  const { outcome, limit, lines, timeline } = result;
  return {
    ...listScenario(result),
    outcome,
    ...(limit !== undefined && { limit }),
    lines: lines.map(lineOf),
    steps: stepsShown(folder, timeline),
    isStale,
    caution: CAUTION,
  };
}

function lineOf({ origin, told, when, ...line }: ScenarioResult["lines"][number]): ScenarioLineRan {
  const base = { range: rangeOf(origin), outcome: line.outcome, told, ...(when !== undefined && { when }) };
  if (line.outcome === "done") return base;
  const { expected } = line;
  const found = line.outcome === "not-decided" ? line.limit : line.found;
  return { ...base, ...(expected !== undefined && { expected }), found };
}
