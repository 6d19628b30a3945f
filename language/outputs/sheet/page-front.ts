import { runPicture } from "@limbwright/shared/pictures";
import { type Content, element, type Markup } from "@limbwright/shared/text";
import { writeAcross } from "./across.ts";
import { sentenceCase } from "./checklist.ts";
import { checklist, clockBlanks, fieldLine, plainList, section } from "./page-parts.ts";
import type { Sheet, SheetBound, SheetCuffs, SheetTimes } from "./sheet.ts";

/** The front: for whom, what is written down, the steps and the times. */
export function frontPage(sheet: Sheet): Markup {
  const { indications, patients, contraindicated, cautions, prepare, times } = sheet;
  return element(
    "section",
    { class: "front" },
    writeAcross(sheet.marks),
    element(
      "div",
      { class: "halves" },
      section(
        "For whom",
        indications.length === 0 ? [] : element("p", {}, `${indications.join("; ")}.`),
        element("p", {}, `${sentenceCase(patients.join("; "))}.`),
        element("p", {}, cuffsText(sheet.cuffs)),
      ),
      element(
        "div",
        {},
        section("Contraindicated", plainList(contraindicated)),
        section("Caution", plainList(cautions)),
      ),
    ),
    patientFields(),
    element(
      "div",
      { class: "columns" },
      element(
        "div",
        {},
        section("Before the first step", plainListBoxes(prepare)),
        section("Steps", checklist(sheet.checklist)),
      ),
      element(
        "div",
        {},
        section(
          "Times",
          timesTable(times),
          deflations(times),
          element("p", {}, "By the latest release the last cuff is down."),
          element("p", {}, times.overAllRuns),
        ),
        section("Blood pressure", readings(times)),
        section("At any moment until the recovery is over", checklist(sheet.throughout)),
        section("Before the patient leaves", discharge(sheet)),
      ),
    ),
    element(
      "div",
      { class: "halves" },
      sheet.runs.map((run) => element("figure", {}, element("figcaption", {}, run.title), runPicture(run))),
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
    element(
      "div",
      { class: "fields" },
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

function plainListBoxes(texts: readonly string[]): Content {
  if (texts.length === 0) return [];
  return element(
    "ul",
    { class: "steps pairs" },
    texts.map((text) =>
      element(
        "li",
        {},
        element(
          "div",
          { class: "step" },
          element("span", { class: "box" }),
          element("span", { class: "says" }, text),
        ),
      ),
    ),
  );
}

/** The clock times to be worked out and written down. */
function timesTable({ moments, bounds, hasSwap }: SheetTimes): Content {
  const rows: [Content, Content][] = [
    ...moments.map((moment): [Content, Content] => [sentenceCase(moment), clockBlanks()]),
    ...bounds.map((bound): [Content, Content] => [boundText(bound), clockBlanks()]),
    ...(hasSwap ? [["Cuffs swapped", clockBlanks()] as [Content, Content]] : []),
  ];
  return element(
    "table",
    { class: "words" },
    element("caption", { class: "hidden" }, "Clock times"),
    element(
      "tbody",
      {},
      rows.map(([label, blank]) =>
        element("tr", {}, element("th", { scope: "row" }, label), element("td", {}, blank)),
      ),
    ),
  );
}

function deflations({ deflations: count }: SheetTimes): Content {
  return count === 0 ? [] : element("p", {}, "Deflations:", Array.from({ length: count }, clockBlanks));
}

function boundText({ what, step, from, plus }: SheetBound): Content {
  const says = what === "at the latest" ? (step ?? "") : sentenceCase(what);
  return [element("strong", {}, says), `: ${from} + ${plus}`];
}

const READINGS = 7;

function readings({ pressureEvery }: SheetTimes): Content {
  const every = pressureEvery === undefined ? "" : `Every ${pressureEvery}.`;
  const row = (label: string) =>
    element(
      "tr",
      {},
      element("th", { scope: "row" }, label),
      Array.from({ length: READINGS }, () => element("td", {})),
    );
  return [
    every === "" ? [] : element("p", {}, every),
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
    element("div", { class: "fields two" }, fieldLine("Advice given by"), fieldLine("Left at")),
  ];
}
