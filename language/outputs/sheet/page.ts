import { doseCurve, leadingTo, runPicture } from "@limbwright/shared/pictures";
import { type Content, capital, element, type Markup, markupText } from "@limbwright/shared/text";
import { htmlPage } from "../html/page.ts";
import {
  boxes,
  checklist,
  clockBlanks,
  division,
  fieldLine,
  figure,
  HALF,
  isNoWiderThan,
  plainList,
  section,
  tableBlocks,
  writeAcross,
} from "./page-parts.ts";
import type {
  Sheet,
  SheetBound,
  SheetCuffs,
  SheetEmergency,
  SheetFinding,
  SheetHead,
  SheetStanding,
  SheetTimes,
} from "./sheet.ts";
import { STYLE } from "./style.ts";
import { textsOnPaper } from "./texts-on-paper.ts";

/** A sheet as one page of HTML: no script, nothing from elsewhere, and every text of the protocol as text. */
export function sheetPage(sheet: Sheet): string {
  const { title, version } = sheet.head;
  return htmlPage(`${title}, ${version}`, STYLE, paperOf(sheet));
}

/** The same as what a page of HTML holds, to be shown in another page with the style of a sheet; its rules for `html` and `body` are those for the paper. */
export function sheetPaper(sheet: Sheet) {
  return { html: markupText(paperOf(sheet)), style: STYLE };
}

function paperOf(written: Sheet): Markup {
  const sheet = textsOnPaper(written);
  const { head, marks, caution } = sheet;
  return division(
    "sheet",
    headOf(head, marks),
    element("main", {}, frontPage(sheet), backPage(sheet)),
    element("footer", { class: "foot" }, division("foot-inner", element("p", {}, caution))),
  );
}

function headOf(head: SheetHead, marks: readonly string[]): Markup {
  const { name, title, hospital, owner, version, status, reviewBy, meaning, place } = head;
  const facts = { Version: version, Status: status, "Review by": reviewBy ?? "not said" };
  return element(
    "header",
    { class: "head", ...leadingTo(place) },
    division(
      "head-inner",
      division(
        undefined,
        element("h1", {}, title),
        element(
          "p",
          {},
          marks.length === 0 ? [] : [element("strong", { class: "marks" }, marks.join(" · ")), " "],
          [hospital, owner, name].filter((one) => one !== undefined).join(" · "),
        ),
      ),
      element(
        "dl",
        {},
        Object.entries(facts).map(([term, says]) => [element("dt", {}, term), element("dd", {}, says)]),
      ),
    ),
    element("p", { class: "meaning" }, element("code", {}, `meaning ${meaning}`)),
  );
}

/** The front: for whom, what is written down, the steps and the times. */
function frontPage(sheet: Sheet): Markup {
  const { indications, patients, contraindicated, cautions, prepare, times } = sheet;
  return element(
    "section",
    { class: "front" },
    writeAcross(sheet.marks),
    division(
      "halves",
      section(
        "For whom",
        indications.length === 0 ? [] : element("p", {}, `${indications.join("; ")}.`),
        element("p", {}, `${capital(patients.join("; "))}.`),
        element("p", {}, cuffsText(sheet.cuffs)),
      ),
      division(
        undefined,
        section("Contraindicated", plainList(contraindicated)),
        section("Caution", plainList(cautions)),
      ),
    ),
    patientFields(),
    division(
      "columns",
      division(
        undefined,
        section("Before the first step", boxes(prepare)),
        section("Steps", checklist(sheet.checklist)),
      ),
      division(
        undefined,
        section(
          "Times",
          timesTable(times),
          deflations(times),
          element("p", {}, "By the latest release the last cuff is down."),
          element("p", {}, times.overAllRuns, leaning(times)),
        ),
        section("Blood pressure", readings(times)),
        section("At any moment until the recovery is over", checklist(sheet.throughout)),
        section("Before the patient leaves", discharge(sheet)),
      ),
    ),
    division(
      "halves",
      sheet.runs.map((run) => figure(run.title, runPicture(run))),
    ),
  );
}

function cuffsText({ labels, on, ceiling, fits }: SheetCuffs): string {
  const parts = [`${labels.join(" and ")} on the ${on}`];
  if (fits !== undefined) parts.push(`made for ${fits}`);
  if (ceiling !== undefined) parts.push(`never over ${ceiling}`);
  return `Cuffs: ${parts.join("; ")}.`;
}

function patientFields(): Content {
  return section(
    "This patient",
    division(
      "fields",
      fieldLine("Name, number (label)", true),
      fieldLine("Date"),
      fieldLine("Side"),
      fieldLine("Measured weight, kg"),
      fieldLine("Systolic, mmHg"),
      fieldLine("Allergies", true),
      fieldLine("Batch"),
      fieldLine("Drawn up by"),
      fieldLine("Checked by"),
    ),
  );
}

/** In the same paragraph, since most sheets have it not, and those that do have no line to spare. */
function leaning({ leansOn }: SheetTimes): Content {
  return leansOn.length === 0 ? [] : element("strong", {}, ` Leans on: ${leansOn.join("; ")}.`);
}

/** The clock times to be worked out and written down. */
function timesTable({ moments, bounds, hasSwap }: SheetTimes): Content {
  const labels = [...moments.map(capital), ...bounds.map(boundText), ...(hasSwap ? ["Cuffs swapped"] : [])];
  return element(
    "table",
    { class: "words" },
    element("caption", { class: "hidden" }, "Clock times"),
    element(
      "tbody",
      {},
      labels.map((label) =>
        element("tr", {}, element("th", { scope: "row" }, label), element("td", {}, clockBlanks())),
      ),
    ),
  );
}

function deflations({ deflations: count }: SheetTimes): Content {
  return count === 0 ? [] : element("p", {}, "Deflations:", Array.from({ length: count }, clockBlanks));
}

function boundText({ what, step, from, plus }: SheetBound): Content {
  const says = what === "at the latest" ? (step ?? "") : capital(what);
  return [element("strong", {}, says), `: ${from} + ${plus}`];
}

const READINGS = 7;

function readings({ pressureEvery }: SheetTimes): Content {
  const row = (label: string) =>
    element(
      "tr",
      {},
      element("th", { scope: "row" }, label),
      Array.from({ length: READINGS }, () => element("td", {})),
    );
  return [
    pressureEvery === undefined ? [] : element("p", {}, `Every ${pressureEvery}.`),
    element(
      "table",
      { class: "readings" },
      element("caption", { class: "hidden" }, "Blood pressures"),
      element("tbody", {}, row("time"), row("mmHg"), row("time"), row("mmHg")),
    ),
  ];
}

function discharge({ discharge: items }: Sheet): Content {
  return [
    items.length === 0
      ? element("p", {}, "This protocol says nothing about discharge; local policy decides.")
      : checklist(items),
    division("fields two", fieldLine("Advice given by"), fieldLine("Left at")),
  ];
}

/** The back: doses, pressures, emergencies, and what was found about the protocol. */
function backPage(sheet: Sheet): Markup {
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
  const figures = curves.map((curve) => figure(curve.title, doseCurve(curve)));
  const tables = pressures.map((table) => tableBlocks(table, areNarrow ? HALF : undefined));
  return areNarrow
    ? division("halves", division(undefined, tables), division(undefined, figures))
    : [tables, division("halves", figures)];
}

function emergency({ title, items, tables, place }: SheetEmergency): Markup {
  return element(
    "section",
    { class: "emergency", ...leadingTo(place) },
    element("h2", {}, title),
    checklist(items),
    tables.map((table) => tableBlocks(table)),
  );
}

function standingSection({ findings, holding, answered, notDecided, notJudged }: SheetStanding): Content {
  const counts = `${findings.length === 0 ? "No findings" : `${findings.length} found`}; ${holding} rules hold; ${answered.length > 0 ? `${answered.length} answered by local rules, which is no proof; ` : ""}${notDecided.length} not decided, which is not a pass; ${notJudged} texts that only people can judge.`;
  return [
    element("p", {}, counts),
    plainList(findings.map(findingText)),
    plainList(answered.map(({ rule, by }) => `Answered: ${rule}: ${by}.`)),
    plainList(notDecided.map(({ rule, limit }) => `Not decided: ${rule}: ${limit}.`)),
  ];
}

function findingText({ severity, rule, what, accepted }: SheetFinding): string {
  const standing = accepted === undefined ? "" : ` Accepted ${accepted}`;
  return `${severity} ${rule}: ${what}${standing}`;
}
