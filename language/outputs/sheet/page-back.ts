import { doseCurve } from "@limbwright/shared/pictures";
import { type Content, element, type Markup } from "@limbwright/shared/text";
import { writeAcross } from "./across.ts";
import { checklist, placeAttributes, plainList, section } from "./page-parts.ts";
import { HALF, isNoWiderThan, tableBlocks } from "./page-tables.ts";
import type { Sheet, SheetEmergency, SheetFinding, SheetStanding } from "./sheet.ts";

/** The back: doses, pressures, emergencies, and what was found about the protocol. */
export function backPage(sheet: Sheet): Markup {
  const { doses, emergencies, standing, betweenRows } = sheet;
  return element(
    "section",
    { class: "back" },
    writeAcross(sheet.marks),
    section(
      "Doses",
      doses.map((table) => tableBlocks(table)),
      element("p", {}, betweenRows),
    ),
    pressuresAndCurves(sheet),
    emergencies.map(emergency),
    section("What was found about this protocol", standingSection(standing)),
  );
}

/** Beside each other where the tables are narrow enough, else one after the other. */
function pressuresAndCurves({ pressures, curves }: Sheet): Content {
  const areNarrow = pressures.every((table) => isNoWiderThan(table, HALF));
  const figures = curves.map((curve) =>
    element("figure", {}, element("figcaption", {}, curve.title), doseCurve(curve)),
  );
  if (!areNarrow)
    return [pressures.map((table) => tableBlocks(table)), element("div", { class: "halves" }, figures)];
  return element(
    "div",
    { class: "halves" },
    element(
      "div",
      {},
      pressures.map((table) => tableBlocks(table, HALF)),
    ),
    element("div", {}, figures),
  );
}

function emergency({ title, items, tables, place }: SheetEmergency): Markup {
  return element(
    "section",
    { class: "emergency", ...placeAttributes(place) },
    element("h2", {}, title),
    checklist(items),
    tables.map((table) => tableBlocks(table)),
  );
}

function standingSection({ findings, holding, notDecided, notJudged }: SheetStanding): Content {
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
