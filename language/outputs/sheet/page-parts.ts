import { leadingTo } from "@limbwright/shared/pictures";
import { cellOnPaper } from "@limbwright/shared/quantity";
import { type Content, element, type Markup } from "@limbwright/shared/text";
import type { SheetBlank, SheetItem, SheetTable } from "./sheet.ts";

/** A part of the page, by the name that says how it is laid out. */
export function division(name: string | undefined, ...content: readonly Content[]): Markup {
  return element("div", { class: name }, ...content);
}

export function figure(title: string, picture: Markup): Markup {
  return element("figure", {}, element("figcaption", {}, title), picture);
}

/** A section with its heading; nothing where it has nothing to say. */
export function section(title: string, ...content: readonly Content[]): Content {
  return content.flat().length === 0 ? [] : element("section", {}, element("h2", {}, title), ...content);
}

export function plainList(texts: readonly string[]): Content {
  if (texts.length === 0) return [];
  return element(
    "ul",
    { class: "plain" },
    texts.map((text) => element("li", {}, element("span", { class: "dot" }), text)),
  );
}

/** What is to be in place, each with a box to tick. */
export function boxes(texts: readonly string[]): Content {
  if (texts.length === 0) return [];
  const line = (text: string) => division("step", BOX, element("span", { class: "says" }, text));
  return element(
    "ul",
    { class: "steps pairs" },
    texts.map((text) => element("li", {}, line(text))),
  );
}

const BOX = element("span", { class: "box" });

/** The lines of a checklist, each with a box to tick and its blanks. */
export function checklist(items: readonly SheetItem[]): Content {
  return items.length === 0 ? [] : element("ol", { class: "steps" }, items.map(itemOf));
}

function itemOf(item: SheetItem): Markup {
  const { kind, text, time, notes, blanks, items, place } = item;
  const says = [
    element("span", { class: kind === "do" ? "action" : "title" }, text),
    ...(notes.length === 0 ? [] : [" ", element("span", { class: "note" }, notes.join("; "))]),
    ...blanks.flatMap((blank): Content[] => [" ", blankOf(blank)]),
  ];
  return element(
    "li",
    { class: kind, ...leadingTo(place) },
    division(
      "step",
      kind === "do" ? BOX : [],
      element("span", { class: "says" }, says),
      time === undefined ? [] : element("span", { class: "time" }, time),
    ),
    checklist(items),
  );
}

/** Room to write a value down, with its unit. */
function blankOf(blank: SheetBlank): Content {
  return blank === "clock" ? clockBlanks() : [element("span", { class: "line" }), ` ${blank}`];
}

/** Room for a time of day. */
export function clockBlanks(): Markup {
  const digits = () => element("span", { class: "digit" });
  return element("span", { class: "clock" }, digits(), ":", digits());
}

/** A label with a line to write on. */
export function fieldLine(label: string, isWhole = false): Markup {
  return division(
    isWhole ? "field whole" : "field",
    element("span", {}, label),
    element("span", { class: "line" }),
  );
}

/** The width of a page, of half of one, and of the gap between two pieces, in mm. */
const PAGE = 190;
export const HALF = 92;
const GAP = 3;

/** The size of letters in a table, and the room that a cell has around its text, in mm. */
const LETTERS = 2.575;
const CELL = 1.4;

/** How wide characters of the widest of the fonts are, in bold, as a part of its size: narrow ones, wide ones, and others. */
const NARROW = 0.42;
const WIDE = 1.03;
const USUAL = 0.7;

/** Fewer rows than these are not worth a second piece. */
const LEAST_ROWS = 4;

const OVER = "over the maximum";

/** Whether a table needs no more than so many mm, with words that are not broken. */
export function isNoWiderThan(table: SheetTable, room: number): boolean {
  return widthOf(table) <= room;
}

/** A table in as many pieces beside each other as fit, each with its headings, so that none is longer than it has to be. */
export function tableBlocks(table: SheetTable, room = PAGE): Content {
  const across = piecesOf(table, room);
  const { caption, facts, headings, rows, place } = table;
  const longest = Math.ceil(rows.length / across);
  const pieces = Array.from({ length: across }, (_, at) => rows.slice(at * longest, (at + 1) * longest));
  return element(
    "div",
    leadingTo(place),
    element("h3", {}, caption),
    facts.length === 0 ? [] : element("p", { class: "facts" }, `${facts.join("; ")}.`),
    division(
      isNoWiderThan(table, room) ? "blocks" : "blocks tight",
      pieces
        .filter((piece) => piece.length > 0)
        .map((piece, at) =>
          element(
            "table",
            {},
            element("caption", { class: "hidden" }, `${caption}, part ${at + 1}`),
            element(
              "thead",
              {},
              element(
                "tr",
                {},
                headings.map((heading) => element("th", { scope: "col" }, heading)),
              ),
            ),
            element("tbody", {}, piece.map(rowOf)),
          ),
        ),
    ),
  );
}

function rowOf({ cells, isCapped, isOver }: SheetTable["rows"][number], at: number): Markup {
  const [first = "", ...others] = cells;
  const classes = [at % 5 === 4 && "fifth", isCapped && "capped", isOver && "over"].filter(Boolean);
  return element(
    "tr",
    { class: classes.join(" ") || undefined },
    element("th", { scope: "row" }, first, isOver ? element("strong", {}, ` ${OVER}`) : []),
    others.map((cell) => element("td", {}, cellOnPaper(cell))),
  );
}

function piecesOf(table: SheetTable, room: number): number {
  const fitting = Math.max(1, Math.floor((room + GAP) / (widthOf(table) + GAP)));
  return Math.min(fitting, Math.ceil(table.rows.length / LEAST_ROWS));
}

function widthOf({ headings, rows }: SheetTable): number {
  const widths = headings.map((heading, at) => {
    // A heading may break between its words, and what stands beside the weight in a band as well.
    const texts = [...heading.split(/[ -]/), ...rows.flatMap((row) => wordsOf(row, at))];
    return CELL + LETTERS * Math.max(...texts.map(emsOf));
  });
  return widths.reduce((sum, one) => sum + one, 0);
}

function wordsOf({ cells, isOver }: SheetTable["rows"][number], at: number): string[] {
  const cell = cellOnPaper(cells[at] ?? "");
  if (at > 0) return cell.split(" ");
  return isOver ? `${cell} ${OVER}`.split(" ") : [cell];
}

function emsOf(text: string): number {
  return [...text].reduce(
    (sum, character) =>
      sum + (/[mwMW%]/.test(character) ? WIDE : /[fijlrtI\u202f .,:;/()-]/.test(character) ? NARROW : USUAL),
    0,
  );
}

/** How often it is written down a side: three times on each of ten pages. What hangs over the end of the side is not shown. */
const TIMES = 30;

/**
 * What is printed across every page, in outline, so that what is under it can still be read. It runs down the side of the
 * sheet, for browsers print what is fixed to a page, or hangs from a repeated head, on the first page alone. A last page with
 * only a few lines has no room for it; the head says the same on every page.
 */
export function writeAcross(marks: readonly string[]): Content {
  if (marks.length === 0) return [];
  const text = marks.join(" · ");
  const drawn = element(
    "svg",
    { viewBox: "0 0 190 80", focusable: "false" },
    element(
      "text",
      {
        x: 95,
        y: 47,
        transform: "rotate(-20 95 40)",
        "text-anchor": "middle",
        "font-family": "Helvetica, Arial, Liberation Sans, DejaVu Sans, sans-serif",
        "font-weight": "bold",
        "font-size": Math.min(34, Math.round(230 / text.length)),
        fill: "none",
        stroke: "#8a8a8a",
        "stroke-width": 0.3,
      },
      text,
    ),
  );
  return element(
    "div",
    { class: "across", "aria-hidden": "true" },
    Array.from({ length: TIMES }, () => drawn),
  );
}
