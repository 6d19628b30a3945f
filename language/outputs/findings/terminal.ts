import type { Origin, Severity } from "@limbwright/shared/finding";
import { plainCharacters } from "@limbwright/shared/text";

/** How words are set apart on a terminal. Without colour every function gives its text back. */
export interface Paint {
  readonly severity: (severity: Severity, text: string) => string;
  readonly accepted: (text: string) => string;
  readonly strong: (text: string) => string;
  readonly faint: (text: string) => string;
}

const plainly = (text: string) => text;

export const PLAIN: Paint = {
  severity: (_, text) => text,
  accepted: plainly,
  strong: plainly,
  faint: plainly,
};

export const COLOURED: Paint = {
  severity: (severity, text) => wrapInCode(SEVERITY_CODES[severity], text),
  accepted: (text) => wrapInCode("32", text),
  strong: (text) => wrapInCode("1", text),
  faint: (text) => wrapInCode("2", text),
};

const SEVERITY_CODES: Readonly<Record<Severity, string>> = {
  error: "1;31",
  unsafe: "1;31",
  doubtful: "1;33",
  advice: "1;36",
};

function wrapInCode(code: string, text: string): string {
  return text === "" ? "" : `\u001b[${code}m${text}\u001b[0m`;
}

/**
 * Breaks a text into lines of at most `width` characters. Words in backticks stay whole where they fit.
 * The first line starts with `first`, the others with as many spaces.
 */
export function wrap(text: string, width: number, first = ""): string[] {
  const indent = " ".repeat(first.length);
  const lines: string[] = [];
  let line = first;
  let isEmpty = true;
  for (const word of piecesOf(text, width - first.length)) {
    if (!isEmpty && line.length + 1 + word.length > width) {
      lines.push(line);
      line = indent;
      isEmpty = true;
    }
    line += isEmpty ? word : ` ${word}`;
    isEmpty = false;
  }
  return isEmpty && lines.length > 0 ? lines : [...lines, line.trimEnd()];
}

/** Words, which a space of a number (U+202F) does not end; what stands between backticks counts as one, with the mark that follows it, unless it fills a line. */
function piecesOf(text: string, width: number): string[] {
  const pieces = text.match(/(?:`[^`]*`|[^ \n\t`])+|`/g) ?? [];
  return pieces.flatMap((piece) => (piece.length > width ? piece.split(/[ \n\t]+/) : [piece]));
}

const TAB = "    ";

/**
 * The source line of a place, with its number, and carets with the label under the exact words. A place of
 * several lines is marked on its first. A line that is too long is cut around the marked words.
 */
export function excerpt(
  text: string,
  origin: Origin,
  label: string,
  width: number,
  mark: (text: string) => string,
  paint: Paint,
): string[] {
  const line = text.split(/\r\n|\r|\n/)[origin.start.line - 1];
  if (line === undefined) return [];
  const start = Math.min(origin.start.column - 1, line.length);
  const end = origin.end.line > origin.start.line ? line.trimEnd().length : origin.end.column - 1;
  const words = {
    before: showCharacters(line.slice(0, start)),
    marked: showCharacters(line.slice(start, Math.max(end, start))),
    after: showCharacters(line.slice(Math.max(end, start))),
  };
  const number = String(origin.start.line).padStart(3);
  const { before, marked, after } = fitInto(words, width - number.length - 4);
  const carets = "^".repeat(Math.max(1, widthOf(marked)));
  const gutter = `${" ".repeat(number.length)} │ ${" ".repeat(widthOf(before))}`;
  const oneLine = `${gutter}${carets} ${label}`;
  const source = `${paint.faint(`${number} │`)} ${`${before}${marked}${after}`.trimEnd()}`;
  if (oneLine.length <= width) return [source, `${paintGutter(gutter, paint)}${mark(`${carets} ${label}`)}`];
  const room = Math.max(width - gutter.length, 30);
  const below = gutter.length + 30 > width ? `${" ".repeat(number.length)} │ ` : gutter;
  return [
    source,
    `${paintGutter(gutter, paint)}${mark(carets)}`,
    ...wrap(label, below === gutter ? room : width - below.length).map(
      (part) => `${paintGutter(below, paint)}${mark(part)}`,
    ),
  ];
}

function paintGutter(gutter: string, paint: Paint): string {
  return gutter.replace(/^\s*│/, (bar) => paint.faint(bar));
}

function showCharacters(text: string): string {
  return plainCharacters(text.replaceAll("\t", TAB));
}

interface Words {
  readonly before: string;
  readonly marked: string;
  readonly after: string;
}

/** Cut so that the line fits and the marked words stay in sight. */
function fitInto({ before, marked, after }: Words, room: number): Words {
  if (widthOf(before + marked + after) <= room) return { before, marked, after };
  const keepsBefore = widthOf(before) <= room / 3;
  const mostMarked = room - (keepsBefore ? widthOf(before) : 1) - 1;
  const shownMark = widthOf(marked) > mostMarked ? `${firstOf(marked, mostMarked - 1)}…` : marked;
  const spare = Math.max(room - widthOf(shownMark) - 2, 0);
  const keptBefore =
    keepsBefore || widthOf(before) <= spare ? before : `…${lastOf(before, Math.floor(spare / 2))}`;
  const left = Math.max(room - widthOf(keptBefore) - widthOf(shownMark), 0);
  const keptAfter = widthOf(after) <= left ? after : left < 1 ? "" : `${firstOf(after, left - 1)}…`;
  return { before: keptBefore, marked: shownMark, after: keptAfter };
}

function firstOf(text: string, count: number): string {
  return [...text].slice(0, count).join("");
}

function lastOf(text: string, count: number): string {
  return count === 0 ? "" : [...text].slice(-count).join("");
}

/** How many columns a terminal gives a text: none to marks that combine, two to pictures and full-width letters. */
function widthOf(text: string): number {
  let columns = 0;
  for (const character of text) {
    if (/\p{M}|\p{Cf}/u.test(character)) continue;
    columns +=
      /\p{Emoji_Presentation}|[\u1100-\u115f\u2e80-\ua4cf\uac00-\ud7a3\uf900-\ufaff\uff00-\uff60]/u.test(
        character,
      )
        ? 2
        : 1;
  }
  return columns;
}
