import { type Content, element, type Markup } from "@limbwright/shared/text";
import type { Change, ChangedSide, ChangeEvidence } from "../../compare/comparison.ts";
import type { ComparedTime } from "../../compare/comparison.ts";
import { placeInRun } from "../findings/run-lines.ts";
import { toldLines } from "../findings/told-lines.ts";
import { placeText } from "../findings/words.ts";
import {
  byKind,
  capital,
  fileOfRun,
  KIND_MEANINGS,
  KIND_WORDS,
  MOMENT_HEADING,
  patientsText,
  RUN_HEADINGS,
  sentencePieces,
  TIME_WORDS,
} from "./words.ts";

/** A sentence, with the names between backticks set apart. */
export function sentence(text: string): Content {
  return sentencePieces(text).map(({ text: piece, isName }) => (isName ? element("code", {}, piece) : piece));
}

/** Which versions are kept as their rule files: the lines of their places are in no text that can be opened. */
export interface KeptAsRuleFiles {
  readonly before: boolean;
  readonly now: boolean;
}

/** The changes of a protocol by kind, each with both versions side by side. */
export function changesOf(changes: readonly Change[], kept: KeptAsRuleFiles): Content {
  return byKind(changes).map(({ kind, changes: own }) => [
    element("h3", {}, capital(KIND_WORDS[kind])),
    element("p", {}, KIND_MEANINGS[kind]),
    own.map((one) => changeOf(one, kept)),
  ]);
}

function changeOf(change: Change, kept: KeptAsRuleFiles): Markup {
  const { kind, about, what, before, now, evidence, notDecided } = change;
  return element(
    "article",
    { class: `change ${kind}` },
    element("h4", {}, `${capital(KIND_WORDS[kind])}: `, sentence(about)),
    element("p", {}, sentence(what)),
    before || now
      ? element("dl", { class: "two" }, sideOf("before", before, kept), sideOf("now", now, kept))
      : [],
    evidence.map((one) => evidenceOf(one, change)),
    notDecided === undefined
      ? []
      : element("p", {}, element("strong", {}, "Not decided: "), sentence(`${notDecided}.`)),
  );
}

function sideOf(version: "before" | "now", side: ChangedSide | undefined, kept: KeptAsRuleFiles): Markup {
  const says = side
    ? [
        element("dd", {}, sentence(side.says)),
        element(
          "dd",
          { class: "where", ...(kept[version] ? {} : lineOf(version, side)) },
          element("code", {}, placeText(side.origin)),
        ),
      ]
    : element("dd", { class: "none" }, "nothing of it");
  return element("div", {}, element("dt", {}, capital(version)), says);
}

/** By which an editor finds the line. */
function lineOf(version: "before" | "now", { origin }: ChangedSide) {
  return { "data-side": version, "data-file": origin.file, "data-line": origin.start.line };
}

function evidenceOf(evidence: ChangeEvidence, change: Change): Content {
  if (evidence.kind === "patients") return element("p", {}, sentence(patientsText(evidence)));
  if (evidence.kind === "value") {
    const { says, run } = evidence;
    return [
      element("p", {}, sentence(says)),
      run ? runTable(MOMENT_HEADING, { ...evidence, run }, change) : [],
    ];
  }
  return [
    runTable(RUN_HEADINGS[evidence.side], evidence, change),
    element("p", {}, sentence(evidence.other)),
  ];
}

function runTable(heading: string, evidence: Parameters<typeof fileOfRun>[0], change: Change): Markup {
  const file = fileOfRun(evidence, change);
  const rows = toldLines(evidence.run).map(({ time, what, after, origins }) => [
    time,
    what,
    after,
    placeInRun(origins, file),
  ]);
  return tableOf(heading, ["Time", "What happens", "What is so then", "Where"], rows);
}

/** The times over all runs in either version. */
export function timesTable(times: readonly ComparedTime[]): Content {
  if (times.length === 0) return [];
  return tableOf(
    "Times over all runs",
    ["", "Before", "Now", ""],
    times.map(({ what, before, now, kind }) => [what, before, now, TIME_WORDS[kind]]),
  );
}

function tableOf(caption: string, head: readonly string[], rows: readonly (readonly string[])[]): Markup {
  const headCell = (text: string) =>
    text === "" ? element("td", {}) : element("th", { scope: "col" }, text);
  return element(
    "table",
    {},
    element("caption", {}, caption),
    element("thead", {}, element("tr", {}, head.map(headCell))),
    element(
      "tbody",
      {},
      rows.map((row) =>
        element(
          "tr",
          {},
          row.map((text) => element("td", {}, text)),
        ),
      ),
    ),
  );
}
