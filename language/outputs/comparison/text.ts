import { CAUTION, plainCharacters } from "@limbwright/shared/text";
import type { ChangeKind } from "../../compare/codes.ts";
import { type ComparedTime, KIND_WORDS } from "../../compare/comparison.ts";
import { runLines } from "../findings/run-lines.ts";
import { type Paint, wrap } from "../findings/terminal.ts";
import { paintOf, paragraph, type TextOptions } from "../findings/text-finding.ts";
import { placeText } from "../findings/words.ts";
import { type ChangePart, comparisonDocument, type Part, type Side } from "./document.ts";
import { type ComparisonReport, TIME_WORDS } from "./words.ts";

/** How a comparison is laid out; `verbose` tells runs line by line and shows times that are the same. */
export type ComparisonTextOptions = Omit<TextOptions, "textOf">;

/** A comparison for a reader at a terminal: each protocol that is not the same, then what the whole came to. */
export function comparisonText(report: ComparisonReport, options: ComparisonTextOptions): string {
  const layout: TextOptions = { ...options, textOf: () => undefined };
  return partsText(comparisonDocument(report), layout);
}

/** Parts as lines, with an empty line between them. */
export function partsText(parts: readonly Part[], layout: TextOptions): string {
  return `${parts.map((part) => linesOf(part, layout, "").join("\n")).join("\n\n")}\n`;
}

function linesOf(part: Part, layout: TextOptions, indent: string): string[] {
  const say = (text: string | undefined, label = "", at = indent) =>
    text === undefined ? [] : paragraph(label && `${label} `, text, layout, at);
  const within = (parts: readonly Part[]) => parts.flatMap((one) => linesOf(one, layout, "  "));
  switch (part.is) {
    case "head":
      return say(`Compared ${part.before} with ${part.now}: ${part.says}`);
    case "protocol": {
      const heading = part.title === undefined ? part.name : `${part.name} "${part.title}"`;
      return [...say(heading).map(paintOf(layout).strong), ...within(part.parts)];
    }
    case "conclusion":
      return [...say(part.says), ...say(part.raise)];
    case "sides":
      return [
        ...(part.before ? sideLines("Before: ", part.before, layout) : []),
        ...(part.now ? sideLines("Now:    ", part.now, layout) : []),
      ];
    case "kind":
      return part.parts.flatMap((one) => ["", ...linesOf(one, layout, "  ")]);
    case "change":
      return [...changeHeading(part, layout), ...within(part.parts)];
    case "paragraph":
      return say([part.says, ...(part.names ? [`${part.names.join(", ")}.`] : [])].join(" "), part.label);
    case "run": {
      const { before, heading, run, file, after } = part;
      return [
        ...say(before),
        ...runLines(run, file, { ...layout, paint: paintOf(layout), heading }),
        ...say(after, "", "    "),
      ];
    }
    case "times":
      return timeLines(part.times, layout);
    case "list":
      return [
        ...(indent === "" ? [] : [""]),
        `${indent}${part.title}:`,
        ...part.items.flatMap((item) => say(item, "-")),
      ];
    case "picture":
      return [];
    case "caution":
      return say(CAUTION);
  }
}

/** "looser  dose `local`", with the code of the change at the right edge. */
function changeHeading({ kind, code, about, isDecided }: ChangePart, layout: TextOptions): string[] {
  const paint = paintOf(layout);
  const word = isDecided ? KIND_WORDS[kind] : `${KIND_WORDS[kind]}, not decided`;
  const said = `${word}  ${plainCharacters(about)}`;
  const [first = "", ...others] = atRightEdge(said, code, layout);
  return [`${markOf(kind, paint)(word)}${first.slice(word.length)}`, ...others];
}

/** A line with what belongs to its right edge; below it where both do not fit. */
function atRightEdge(said: string, edge: string, layout: TextOptions): string[] {
  const gap = layout.width - said.length - edge.length;
  const { faint } = paintOf(layout);
  return gap >= 2 ? [`${said}${" ".repeat(gap)}${faint(edge)}`] : [said, `    ${faint(edge)}`];
}

/** The looks of severities, by how much a change needs to be looked at. */
function markOf(kind: ChangeKind, paint: Paint): (text: string) => string {
  if (kind === "looser" || kind === "no-longer-safe") return (text) => paint.severity("unsafe", text);
  if (kind === "different" || kind === "needs-a-reader") return (text) => paint.severity("doubtful", text);
  return kind === "tighter" ? (text) => paint.severity("advice", text) : paint.faint;
}

/** What one version says, with its place at the right edge of the last line; below it where both do not fit. */
function sideLines(heading: string, { name, says, origin }: Side, layout: TextOptions): string[] {
  const said = name === undefined ? says : `${name} ${says}`;
  const lines = wrap(plainCharacters(said), layout.width, `  ${heading}`);
  const place = plainCharacters(placeText(origin));
  return [...lines.slice(0, -1), ...atRightEdge(lines.at(-1) ?? "", place, layout)];
}

/** A table of the times that are otherwise; of all times where everything is to be told. */
function timeLines(times: readonly ComparedTime[], layout: TextOptions): string[] {
  const shown = layout.verbose ? times : times.filter(({ kind }) => kind !== "same");
  if (shown.length === 0) return [];
  const rows: TimeRow[] = [
    ["Over all runs", "before", "now", ""],
    ...shown.map(({ what, before, now, kind }): TimeRow => [what, before, now, TIME_WORDS[kind]]),
  ];
  const plain = rows.map((row) => row.map(plainCharacters) as unknown as TimeRow);
  const longest = (column: 0 | 1 | 2 | 3) => Math.max(...plain.map((row) => row[column].length));
  const rest = longest(1) + longest(2) + longest(3) + 3 * TIME_GAP.length + 2;
  const first = Math.min(longest(0), Math.max(layout.width - rest, 12));
  const lines = plain.flatMap(([what, before, now, kind]) => {
    const [start = "", ...more] = wrap(what, first);
    const cells = [start.padEnd(first), before.padStart(longest(1)), now.padStart(longest(2)), kind];
    return [cells.join(TIME_GAP).trimEnd(), ...more].map((line) => `  ${line}`);
  });
  return ["", ...lines];
}

type TimeRow = readonly [string, string, string, string];

const TIME_GAP = "   ";
