import {
  CAUTION,
  compileFile,
  FORMULARY_TEMPLATE,
  protocolTemplate,
  ruleList,
  type ScenarioResult,
  sheetPage,
  sheetsOf,
  TEMPLATE_PLACES,
} from "@limbwright/language";
import { pageOf } from "@limbwright/language/rule-pages";
import {
  COMPILE,
  type ListedScenario,
  type Output,
  type OutputAsked,
  PROTOCOL_NAME,
  RULE_PAGE,
  RUN,
  RUN_SCENARIO,
  type RulePageAsked,
  type RunAsked,
  type RunScenarioAsked,
  type RunToStepThrough,
  SCENARIOS,
  type ScenarioLineRan,
  type ScenarioRan,
  SHEETS,
  TEMPLATE,
  type Template,
  type TemplateAsked,
} from "@limbwright/shared/editor";
import { yearAfter } from "../../workspace/local-date.ts";
import { overlaps, rangeOf, stepsShown } from "../places.ts";
import { type AskedText, findText, inText, type Service } from "../service.ts";

/** Answers the smaller requests of our own: what is written of a text, runs, scenarios, pages of rules. */
export function answerRequests(service: Service): void {
  const { connection, checker } = service;
  // Rule files and bedside sheets. The client puts them into files.
  connection.onRequest(
    COMPILE,
    inText(service, ({ site, file }, { draft }: OutputAsked) =>
      (compileFile(site, file, { on: checker.day, draft }) ?? []).map((compiled): Output => {
        if (compiled.kind === "refused") return compiled;
        const { kind, protocol, text, meaning } = compiled;
        return { kind, protocol, name: `${protocol}.json`, text, meaning };
      }),
    ),
  );
  connection.onRequest(
    SHEETS,
    inText(service, ({ site, file }, { draft }: OutputAsked) =>
      (sheetsOf(site, file, { on: checker.day, draft }) ?? []).map((result): Output => {
        if (result.kind === "refused") return result;
        const { kind, protocol, sheet } = result;
        return {
          kind,
          protocol,
          name: `${protocol}.html`,
          text: sheetPage(sheet),
          meaning: sheet.head.meaning,
        };
      }),
    ),
  );
  // A new protocol to start from, to be read again within a year.
  connection.onRequest(TEMPLATE, (asked: TemplateAsked): Template | null => {
    if (!isFit(asked)) return null;
    const protocol = protocolTemplate({ ...asked, reviewBy: yearAfter(checker.day) });
    return { protocol, formulary: FORMULARY_TEMPLATE };
  });
  // Why a rule matters, what breaks and what passes it, its sources, what it does not see.
  connection.onRequest(RULE_PAGE, ({ rule: asked }: RulePageAsked): string | null => {
    const rule = ruleList.find(({ id }) => id === asked);
    return rule ? `${pageOf(rule)}\n---\n\n*${CAUTION}*\n` : null;
  });
  // The run that a finding shows, step by step with the places in the text.
  connection.onRequest(
    RUN,
    inText(service, (asked, { rule, range }: RunAsked): RunToStepThrough | null => {
      const finding = checker
        .findingsOf(asked)
        .find((one) => one.rule === rule && one.run && overlaps(rangeOf(one.origin), range));
      if (!finding?.run) return null;
      const steps = stepsShown(asked.folder, finding.run);
      return { rule, what: finding.what, isStale: finding.stale ?? false, steps, caution: CAUTION };
    }),
  );
  connection.onRequest(SCENARIOS, inText(service, scenariosIn));
  connection.onRequest(RUN_SCENARIO, async (params: RunScenarioAsked): Promise<ScenarioRan | null> => {
    const asked = findText(service, params);
    if (!asked) return null;
    const { result, isStale } = await checker.runScenario(asked, params.scenario);
    return result ? ranOf(asked, result, isStale) : null;
  });
}

function isFit({ name, title, place, formulary }: TemplateAsked): boolean {
  const areTexts = [title, formulary].every((text) => !/["\\\r\n]/.test(text));
  return PROTOCOL_NAME.test(name) && areTexts && TEMPLATE_PLACES.includes(place);
}

/** The scenarios of a text, in its order. */
export function scenariosIn({ site, file }: AskedText): ListedScenario[] {
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
