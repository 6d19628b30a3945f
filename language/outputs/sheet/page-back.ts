import { doseCurve } from "@limbwright/shared/pictures";
import { type Content, element, type Markup } from "@limbwright/shared/text";
import { across } from "./across.ts";
import { checklist, placed, plainList, section, tableBlocks } from "./page-parts.ts";
import type { Sheet, SheetEmergency, SheetFinding, SheetStanding, SheetTable } from "./sheet.ts";

/** The back: doses, pressures, emergencies, and what was found about the protocol. */
export function back(sheet: Sheet): Markup {
  const { curves, doses, pressures, emergencies, standing, betweenRows } = sheet;
  return element(
    "section",
    { class: "back" },
    across(sheet.marks),
    section(
      "Doses",
      doses.map((table) => tableBlocks(table, piecesOf(table))),
      element("p", {}, betweenRows),
    ),
    element(
      "div",
      { class: "halves" },
      element(
        "div",
        {},
        pressures.map((table) => tableBlocks(table, 1)),
      ),
      element(
        "div",
        {},
        curves.map((curve) =>
          element("figure", {}, element("figcaption", {}, curve.title), doseCurve(curve)),
        ),
      ),
    ),
    emergencies.map(emergency),
    section("What was found about this protocol", found(standing)),
  );
}

/** The width of a page and of the gap between two pieces, in mm. */
const PAGE = 190;
const GAP = 3;

/** The width of a character in the widest of the fonts, and of a cell without one, in mm. */
const CHARACTER = 1.55;
const CELL = 1.4;

/** Fewer rows than these are not worth a second piece. */
const LEAST_ROWS = 4;

function piecesOf({ headings, rows }: SheetTable): number {
  const widths = headings.map((heading, at) => {
    // A heading may break between its words, and what stands beside the weight in a band as well.
    const texts = [...heading.split(/[ -]/), ...rows.flatMap(({ cells }) => wordsOf(cells[at] ?? "", at))];
    return CELL + CHARACTER * Math.max(...texts.map(({ length }) => length));
  });
  const width = widths.reduce((sum, one) => sum + one, 0);
  const fitting = Math.max(1, Math.floor((PAGE + GAP) / (width + GAP)));
  return Math.min(fitting, Math.ceil(rows.length / LEAST_ROWS));
}

function wordsOf(cell: string, at: number): string[] {
  return at === 0 ? [cell] : cell.split(" ");
}

function emergency({ title, items, tables, place }: SheetEmergency): Markup {
  return element(
    "section",
    { class: "emergency", ...placed(place) },
    element("h2", {}, title),
    checklist(items),
    tables.map((table) => tableBlocks(table, piecesOf(table))),
  );
}

function found({ findings, holding, notDecided, notJudged }: SheetStanding): Content {
  const counts = `${findings.length === 0 ? "No findings" : `${findings.length} found`}; ${holding} rules hold; ${notDecided.length} not decided, which is not a pass; ${notJudged} texts that only people can judge.`;
  return [
    element("p", {}, counts),
    plainList(findings.map(findingText)),
    plainList(notDecided.map(({ rule, limit }) => `Not decided: ${rule}: ${limit}.`)),
  ];
}

function findingText({ severity, rule, what, accepted }: SheetFinding): string {
  const standing = accepted === undefined ? "" : ` Accepted ${accepted}`;
  return `${severity} ${rule}: ${what}${standing}`;
}
