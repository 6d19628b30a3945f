import { CAUTION, type Content, element, type Markup } from "@limbwright/shared/text";
import type { ComparedProtocol } from "../../compare/compare-sites.ts";
import type { ComparedVersion, NotCompared, ProtocolComparison } from "../../compare/comparison.ts";
import { counted, placeText } from "../findings/words.ts";
import { htmlPage } from "../html/page.ts";
import { changesOf, sentence, timesTable } from "./html-changes.ts";
import { picturesOf } from "./html-pictures.ts";
import { STYLE } from "./html-style.ts";
import type { ComparisonReport } from "./report.ts";
import { capital, conclusionText, notComparedText, raiseText, versionText } from "./words.ts";

/** One protocol of a page, finished, so that the page of thousands needs no more than one of them judged at a time. */
export interface ComparisonSection {
  readonly protocol: string;
  readonly isSame: boolean;
  readonly markup: Markup;
}

/** What a page says of one protocol; `number` tells it from the others of the page. */
export function comparisonSection(compared: ComparedProtocol, number: number): ComparisonSection {
  const { comparison } = compared;
  const { protocol, outcome, before, now, changes, times, notCompared } = comparison;
  const raise = raiseText(comparison);
  return {
    protocol,
    isSame: outcome === "nothing",
    markup: element(
      "section",
      {},
      element("h2", {}, (now ?? before)?.title ?? protocol),
      versionsOf(before, now),
      element("p", { class: "conclusion" }, sentence(conclusionText(comparison))),
      raise === undefined ? [] : element("p", {}, sentence(raise)),
      picturesOf(compared, `comparison-${number}`),
      timesTable(times),
      changesOf(changes, { before: isRuleFile(before), now: isRuleFile(now) }),
      notComparedList(notCompared),
    ),
  };
}

function isRuleFile(version: ComparedVersion | undefined): boolean {
  return version?.ruleFile !== undefined;
}

/**
 * A comparison as one page of HTML that needs nothing else: both versions side by side, the doses over each other and the runs
 * one above the other.
 */
export function comparisonPage(report: ComparisonReport, sections: readonly ComparisonSection[]): string {
  const { before, now } = report;
  return htmlPage({
    title: capital(`${before} compared with ${now}`).replaceAll("`", ""),
    style: STYLE,
    body: comparisonBody(report, sections),
  });
}

/** What stands on that page. */
export function comparisonBody(report: ComparisonReport, sections: readonly ComparisonSection[]): Markup {
  const { before, now, on, comparison } = report;
  const shown = sections.filter(({ isSame }) => !isSame || sections.length === 1);
  const same = sections.filter((one) => !shown.includes(one));
  const count = counted(comparison.protocols.length, "protocol");
  return element(
    "main",
    {},
    element("h1", {}, sentence(capital(`${before} compared with ${now}`))),
    element("p", {}, `${count}, dates judged on ${on}.`),
    element("p", { class: "caution" }, CAUTION),
    summaryOf(comparison.protocols),
    shown.map(({ markup }) => markup),
    same.length === 0
      ? []
      : element(
          "p",
          {},
          `No change in ${counted(same.length, "protocol")}, compared in everything: ${same.map(({ protocol }) => protocol).join(", ")}.`,
        ),
    notComparedList(comparison.notCompared),
  );
}

/** Where there are several, what each comes to, in a table at the top. */
function summaryOf(protocols: readonly ProtocolComparison[]): Content {
  if (protocols.length < 2) return [];
  const rows = protocols.map((one) =>
    element(
      "tr",
      {},
      element("th", { scope: "row" }, element("code", {}, one.protocol)),
      cell(conclusionText(one)),
    ),
  );
  return element("table", {}, element("tbody", {}, rows));
}

function cell(text: string): Markup {
  return element("td", {}, sentence(text));
}

function versionsOf(before: ComparedVersion | undefined, now: ComparedVersion | undefined): Markup {
  return element("dl", { class: "two" }, versionOf("Before", before), versionOf("Now", now));
}

function versionOf(heading: string, version: ComparedVersion | undefined): Markup {
  const says = version
    ? [
        element("dd", {}, element("code", {}, version.name), ` ${versionText(version)}`),
        element("dd", { class: "where" }, element("code", {}, placeText(version.origin))),
        version.meaning === undefined
          ? []
          : element("dd", { class: "where" }, element("code", {}, `meaning ${version.meaning}`)),
      ]
    : element("dd", { class: "none" }, "not there");
  return element("div", {}, element("dt", {}, heading), says);
}

function notComparedList(all: readonly NotCompared[]): Content {
  if (all.length === 0) return [];
  return [
    element("h3", {}, "Not compared, so nothing is said of it"),
    element(
      "ul",
      {},
      all.map((one) => element("li", {}, sentence(`${notComparedText(one)}.`))),
    ),
  ];
}
