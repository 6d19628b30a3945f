import { CAUTION, type Content, element, type Markup } from "@limbwright/shared/text";
import type { ComparedProtocol } from "../../compare/compare-sites.ts";
import { KIND_WORDS, type ProtocolComparison } from "../../compare/comparison.ts";
import { placeInRun } from "../findings/run-lines.ts";
import { tellRunShortly } from "../findings/told-lines.ts";
import { placeText } from "../findings/words.ts";
import { htmlPage } from "../html/page.ts";
import {
  headPart,
  notComparedParts,
  type Part,
  type PicturePart,
  protocolPart,
  type Side,
  sameParts,
} from "./document.ts";
import { picturesOf } from "./html-pictures.ts";
import { STYLE } from "./html-style.ts";
import type { ComparisonReport } from "./report.ts";
import { capital, conclusionText, KIND_MEANINGS, sentencePieces, TIME_WORDS } from "./words.ts";

/** One protocol of a page, finished, so that the page of thousands needs no more than one of them judged at a time. */
export interface ComparisonSection {
  readonly protocol: string;
  readonly isSame: boolean;
  readonly markup: Content;
}

/** What a page says of one protocol; `number` tells it from the others of the page. */
export function comparisonSection(compared: ComparedProtocol, number: number): ComparisonSection {
  const { comparison } = compared;
  return {
    protocol: comparison.protocol,
    isSame: comparison.outcome === "nothing",
    markup: contentOf(protocolPart(comparison, picturesOf(compared, `comparison-${number}`))),
  };
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
  const { protocols, notCompared } = report.comparison;
  const shown = sections.filter(({ isSame }) => !isSame || sections.length === 1);
  const same = sections.filter((one) => !shown.includes(one)).map(({ protocol }) => protocol);
  return element(
    "main",
    {},
    contentOf(headPart(report)),
    contentOf({ is: "caution" }),
    summaryOf(protocols),
    shown.map(({ markup }) => markup),
    [...sameParts(same), ...notComparedParts(notCompared)].map(contentOf),
  );
}

/** Where there are several, what each comes to, in a table at the top. */
function summaryOf(protocols: readonly ProtocolComparison[]): Content {
  if (protocols.length < 2) return [];
  const rows = protocols.map((one) =>
    element(
      "tr",
      {},
      element("th", { scope: "row" }, code(one.protocol)),
      element("td", {}, sentence(conclusionText(one))),
    ),
  );
  return element("table", {}, element("tbody", {}, rows));
}

function contentOf(part: Part): Content {
  switch (part.is) {
    case "head":
      return [
        element("h1", {}, sentence(capital(`${part.before} compared with ${part.now}`))),
        paragraph(part.says),
      ];
    case "protocol":
      return element("section", {}, element("h2", {}, part.title ?? part.name), part.parts.map(contentOf));
    case "conclusion":
      return [element("p", { class: "conclusion" }, sentence(part.says)), paragraph(part.raise)];
    case "sides": {
      const none = part.of === "version" ? "not there" : "nothing of it";
      return element(
        "dl",
        { class: "two" },
        sideOf("before", part.before, none),
        sideOf("now", part.now, none),
      );
    }
    case "kind":
      return [
        element("h3", {}, capital(KIND_WORDS[part.kind])),
        paragraph(KIND_MEANINGS[part.kind]),
        part.parts.map(contentOf),
      ];
    case "change":
      return element(
        "article",
        { class: `change ${part.kind}` },
        element("h4", {}, `${capital(KIND_WORDS[part.kind])}: `, sentence(part.about), " ", code(part.code)),
        part.parts.map(contentOf),
      );
    case "paragraph": {
      const names = part.names ? ` ${part.names.join(", ")}.` : "";
      return element(
        "p",
        {},
        part.isStrong ? [element("strong", {}, `${part.label} `)] : [],
        sentence(`${part.says}${names}`),
      );
    }
    case "run": {
      const rows = tellRunShortly(part.run).map(({ time, what, after, origins }) => [
        time,
        what,
        after,
        placeInRun(origins, part.file),
      ]);
      return [
        paragraph(part.before),
        tableOf(part.heading, ["Time", "What happens", "What is so then", "Where"], rows),
        paragraph(part.after),
      ];
    }
    case "times": {
      const rows = part.times.map(({ what, before, now, kind }) => [what, before, now, TIME_WORDS[kind]]);
      return rows.length === 0 ? [] : tableOf("Times over all runs", ["", "Before", "Now", ""], rows);
    }
    case "list":
      return [
        element("h3", {}, part.title),
        element(
          "ul",
          {},
          part.items.map((item) => element("li", {}, sentence(item))),
        ),
      ];
    case "picture":
      return figureOf(part);
    case "caution":
      return element("p", { class: "caution" }, CAUTION);
  }
}

/** A sentence, with the names between backticks set apart. */
function sentence(text: string): Content {
  return sentencePieces(text).map(({ text: piece, isName }) => (isName ? code(piece) : piece));
}

function paragraph(text: string | undefined): Content {
  return text === undefined ? [] : element("p", {}, sentence(text));
}

function code(text: string): Markup {
  return element("code", {}, text);
}

/** An editor finds the line by its file and its number. */
function sideOf(version: "before" | "now", side: Side | undefined, none: string): Markup {
  const { file, start } = side?.origin ?? {};
  const line = side?.isLine ? { "data-side": version, "data-file": file, "data-line": start?.line } : {};
  const says = side
    ? [
        element("dd", {}, side.name === undefined ? sentence(side.says) : [code(side.name), ` ${side.says}`]),
        element("dd", { class: "where", ...line }, code(placeText(side.origin))),
        side.meaning === undefined ? [] : element("dd", { class: "where" }, code(`meaning ${side.meaning}`)),
      ]
    : element("dd", { class: "none" }, none);
  return element("div", {}, element("dt", {}, capital(version)), says);
}

function figureOf({ title, pictures, says }: PicturePart): Markup {
  return element(
    "figure",
    {},
    element("figcaption", {}, title),
    pictures.map((one) =>
      element("div", {}, one.title === undefined ? [] : element("p", {}, one.title), one.drawn),
    ),
    says === undefined ? [] : element("p", { class: "where" }, says),
  );
}

function tableOf(caption: string, head: readonly string[], rows: readonly (readonly string[])[]): Markup {
  const headCell = (text: string) =>
    text === "" ? element("td", {}) : element("th", { scope: "col" }, text);
  const row = (cells: readonly string[]) =>
    element(
      "tr",
      {},
      cells.map((text) => element("td", {}, text)),
    );
  return element(
    "table",
    {},
    element("caption", {}, caption),
    element("thead", {}, element("tr", {}, head.map(headCell))),
    element("tbody", {}, rows.map(row)),
  );
}
