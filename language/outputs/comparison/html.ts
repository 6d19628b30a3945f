import { doseComparison, runPicture } from "@limbwright/shared/pictures";
import { CAUTION, type Content, capital, element, type Markup } from "@limbwright/shared/text";
import type { ComparedProtocol } from "../../compare/compare-sites.ts";
import { KIND_WORDS, type ProtocolComparison } from "../../compare/comparison.ts";
import type { SideJudged } from "../../compare/side.ts";
import { releasesOf } from "../../rules/engine/over-runs.ts";
import { placeText } from "../findings/words.ts";
import { htmlPage } from "../html/page.ts";
import { doseComparisonsOf } from "../pictures/doses.ts";
import { runPictureOf } from "../pictures/run-pictures.ts";
import {
  headPart,
  notComparedParts,
  type Part,
  type PicturePart,
  protocolPart,
  type Side,
  sameParts,
} from "./document.ts";
import {
  type ComparisonReport,
  conclusionText,
  KIND_MEANINGS,
  RUN_COLUMNS,
  runRows,
  sentencePieces,
  TIME_WORDS,
} from "./words.ts";

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
  const title = capital(`${before} compared with ${now}`).replaceAll("`", "");
  return htmlPage(title, STYLE, comparisonBody(report, sections));
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
    case "run":
      return [
        paragraph(part.before),
        tableOf(part.heading, RUN_COLUMNS, runRows(part.run, part.file)),
        paragraph(part.after),
      ];
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

/** The doses of both versions over each other, and their runs one above the other; nothing where there is one version alone. */
function picturesOf({ comparison, before, now }: ComparedProtocol, id: string): PicturePart[] {
  if (!before || !now || comparison.outcome === "nothing") return [];
  return [
    ...doseComparisonsOf(before.protocol, now.protocol, `${id}-dose`).map(
      (one): PicturePart => ({
        is: "picture",
        title: one.title,
        pictures: [{ drawn: doseComparison(one) }],
        says: `${capital(one.description)}.`,
      }),
    ),
    ...runsOf(before, now, id),
  ];
}

/** The earliest and the latest release, each before and now, all on one scale of time. */
function runsOf(before: SideJudged, now: SideJudged, id: string): PicturePart[] {
  const pairs = (["earliest", "latest"] as const).map((which) => ({
    title: `The ${which} release`,
    pictures: Object.entries({ before, now }).flatMap(([version, { protocol, judgement }]) => {
      const run = releasesOf(judgement.explored.runs)[which];
      const title = `${capital(version)}: the ${which} release`;
      return run ? [runPictureOf(protocol, run, { id: `${id}-${version}-${which}`, title })] : [];
    }),
  }));
  const until = Math.max(...pairs.flatMap(({ pictures }) => pictures.map((picture) => picture.until)));
  return pairs
    .filter(({ pictures }) => pictures.length > 0)
    .map(({ title, pictures }) => ({
      is: "picture",
      title,
      pictures: pictures.map((one) => ({ title: one.title, drawn: runPicture({ ...one, until }) })),
    }));
}

/**
 * The look of a comparison, on light and dark screens and on paper. It is one line, and has no character that HTML would read
 * otherwise, so that its digest is that of what stands in the page. Kinds are told apart by words and edges, not by colours.
 */
export const STYLE = [
  ":root{color-scheme:light dark}",
  "*{box-sizing:border-box}",
  "html{background:Canvas;color:CanvasText;font:15px/1.4 Helvetica,Arial,Liberation Sans,DejaVu Sans,sans-serif}",
  "body{margin:0 auto;padding:1rem;max-width:72rem}",
  "h1,h2,h3,h4,p,ul,dl,dd,figure{margin:0;padding:0}",
  "h1{font-size:1.5rem}",
  "h2{font-size:1.25rem;border-top:3px solid;margin-top:2rem;padding-top:.4rem}",
  "h3{font-size:1.1rem;margin-top:1.2rem}",
  "h4{font-size:1rem}",
  "code{font:.92em/1.3 Liberation Mono,DejaVu Sans Mono,monospace;overflow-wrap:anywhere}",
  "p{margin:.3rem 0}",
  "ul{padding-left:1.2rem}",
  ".conclusion{font-weight:700;border:2px solid;padding:.4rem .6rem}",
  ".caution,.where{font-size:.87rem}",
  ".two{display:grid;grid-template-columns:1fr 1fr;gap:0 1rem}",
  ".two,.two div,.change{min-width:0;overflow-wrap:anywhere}",
  ".two dt{font-weight:700;border-bottom:1px solid}",
  ".two .none{font-style:italic}",
  ".change{border-left:6px solid;padding:.2rem 0 .2rem .8rem;margin:.7rem 0;break-inside:avoid}",
  ".change.tighter{border-left-style:dashed}",
  ".change.different{border-left-style:double}",
  ".change.needs-a-reader{border-left-style:dotted}",
  ".change.wording{border-left-width:1px}",
  "table{border-collapse:collapse;margin:.5rem 0;font-variant-numeric:tabular-nums}",
  "caption{text-align:left;font-weight:700}",
  "th,td{border:1px solid;padding:.15rem .5rem;text-align:left;vertical-align:top;font-weight:400;overflow-wrap:anywhere}",
  "thead th{font-weight:700}",
  "figure{margin:.8rem 0;break-inside:avoid}",
  "figcaption{font-weight:700}",
  "figure svg{display:block;width:100%;max-width:46rem;height:auto}",
  "@media (max-width:40rem){.two{grid-template-columns:1fr}}",
  "@media print{:root{color-scheme:light}html{font-size:10pt;background:#fff;color:#000}body{padding:0;max-width:none}@page{size:A4;margin:12mm}h2,h3{break-after:avoid}}",
].join("");
