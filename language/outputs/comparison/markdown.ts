import { CAUTION, capital, plainCharacters } from "@limbwright/shared/text";
import { KIND_WORDS } from "../../compare/comparison.ts";
import { placeText } from "../findings/words.ts";
import { comparisonDocument, type Part, type RunPart, type Side, type Sides } from "./document.ts";
import {
  type ComparisonReport,
  KIND_MEANINGS,
  RUN_COLUMNS,
  runRows,
  sentencePieces,
  TIME_WORDS,
} from "./words.ts";

/** A comparison as the comment of a merge request. Every text of a protocol reads as it stands there, never as Markdown. */
export function comparisonMarkdown(report: ComparisonReport): string {
  return `${comparisonDocument(report).flatMap(blocksOf).join("\n\n")}\n`;
}

/** Blocks of lines, with an empty line between them. */
function blocksOf(part: Part): string[] {
  switch (part.is) {
    case "head":
      return [`${sentence(`${capital(part.before)} compared with ${part.now}`)}: ${part.says}`];
    case "protocol": {
      const title = part.title === undefined ? "" : ` ${markdownText(part.title)}`;
      return [`## ${markdownCode(part.name)}${title}`, ...part.parts.flatMap(blocksOf)];
    }
    case "conclusion":
      return [`**${sentence(part.says)}**${part.raise === undefined ? "" : ` ${sentence(part.raise)}`}`];
    case "sides":
      return [sidesTable(part)];
    case "kind":
      return [
        `### ${capital(KIND_WORDS[part.kind])}`,
        KIND_MEANINGS[part.kind],
        ...part.parts.flatMap(blocksOf),
      ];
    case "change":
      return [`#### ${sentence(part.about)} (${markdownCode(part.code)})`, ...part.parts.flatMap(blocksOf)];
    case "paragraph": {
      const names = part.names ? ` ${part.names.map(markdownCode).join(", ")}.` : "";
      return [`${part.isStrong ? `**${part.label}** ` : ""}${sentence(part.says)}${names}`];
    }
    case "run":
      return [runHeading(part), runTable(part)];
    case "times": {
      const shown = part.times.filter(({ kind }) => kind !== "same");
      const rows = shown.map(({ what, before, now, kind }) => [
        ...[what, before, now].map(markdownText),
        TIME_WORDS[kind],
      ]);
      return rows.length === 0 ? [] : [table(["Over all runs", "Before", "Now", ""], rows)];
    }
    case "list":
      return [`**${part.title}:**`, part.items.map((item) => `- ${sentence(item)}`).join("\n")];
    case "picture":
      return [];
    case "caution":
      return [`*${markdownText(CAUTION)}*`];
  }
}

/** Of a version that is not there nothing is said; of a change, that the version says nothing of it. */
function sidesTable({ of, before, now }: Sides): string {
  const row = (name: string, side: Side | undefined) => {
    if (!side) return of === "version" ? [] : [[name, "nothing of it", ""]];
    const called = side.name === undefined ? "" : `${markdownCode(side.name)} `;
    return [[name, `${called}${sentence(side.says)}`, markdownCode(placeText(side.origin))]];
  };
  return table(
    ["", of === "version" ? "Version" : "Says", "Where"],
    [...row("Before", before), ...row("Now", now)],
  );
}

function runHeading({ heading, before, after = "" }: RunPart): string {
  return before === undefined ? `${heading}. ${sentence(after)}` : `${sentence(before)} ${heading}:`;
}

function runTable({ run, file }: RunPart): string {
  return table(
    RUN_COLUMNS,
    runRows(run, file).map((row) => row.map(markdownText)),
  );
}

/** A sentence, with the names between backticks as code. */
export function sentence(text: string): string {
  return sentencePieces(text)
    .map(({ text: piece, isName }) => (isName ? markdownCode(piece) : markdownText(piece)))
    .join("");
}

/**
 * A text as Markdown that reads as the text and nothing else: every mark that CommonMark or a merge request would act on is
 * escaped; in what would call a person, name a request or become a link stands a joiner that nobody sees.
 */
export function markdownText(text: string): string {
  return oneLine(text)
    .replace(MARKS, "\\$&")
    .replace(/(@|\\#|:(?=\/\/)|www(?=\\\.)|GH(?=\\-))/gi, `$1${JOINER}`)
    .replace(/^(\s*\d+)([.)])/, "$1\\$2");
}

/** A text word for word, between as many backticks as it needs. */
function markdownCode(text: string): string {
  const shown = oneLine(text);
  const longest = Math.max(0, ...(shown.match(/`+/g) ?? []).map((one) => one.length));
  const fence = "`".repeat(longest + 1);
  const needsRoom = /^`|`$|^ .* $/.test(shown);
  return needsRoom ? `${fence} ${shown} ${fence}` : `${fence}${shown}${fence}`;
}

/** A table. Cells are Markdown already. */
function table(head: readonly string[], rows: readonly (readonly string[])[]): string {
  const line = (cells: readonly string[]) => `| ${cells.join(" | ")} |`;
  return [line(head), line(head.map(() => "---")), ...rows.map(line)].join("\n");
}

function oneLine(text: string): string {
  return plainCharacters(text).replace(/\s+/g, " ");
}

/** A full stop acts only where something follows it at once. */
const MARKS = /[\\`*_{}[\]<>()#+\-!|~&$^=]|\.(?=\S)/g;

const JOINER = "\u2060";
