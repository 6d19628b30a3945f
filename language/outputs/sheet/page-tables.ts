import { type Content, element, type Markup } from "@limbwright/shared/text";
import { placeAttributes } from "./page-parts.ts";
import type { SheetTable } from "./sheet.ts";

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
    placeAttributes(place),
    element("h3", {}, caption),
    facts.length === 0 ? [] : element("p", { class: "facts" }, `${facts.join("; ")}.`),
    element(
      "div",
      { class: isNoWiderThan(table, room) ? "blocks" : "blocks tight" },
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
  const classes = [at % 5 === 4 ? "fifth" : "", isCapped ? "capped" : "", isOver ? "over" : ""].filter(
    (one) => one !== "",
  );
  return element(
    "tr",
    { class: classes.length === 0 ? undefined : classes.join(" ") },
    element("th", { scope: "row" }, first, isOver ? element("strong", {}, ` ${OVER}`) : []),
    others.map((cell) => element("td", {}, cell)),
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
  const cell = cells[at] ?? "";
  if (at > 0) return cell.split(" ");
  return isOver ? `${cell} ${OVER}`.split(" ") : [cell];
}

function emsOf(text: string): number {
  return [...text].reduce(
    (sum, character) =>
      sum + (/[mwMW%]/.test(character) ? WIDE : /[fijlrtI .,:;/()-]/.test(character) ? NARROW : USUAL),
    0,
  );
}
