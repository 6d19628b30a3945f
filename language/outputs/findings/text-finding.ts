import type { Finding, Origin } from "@limbwright/shared/finding";
import { plainCharacters } from "@limbwright/shared/text";
import { runLines } from "./run-lines.ts";
import { COLOURED, excerpt, type Paint, PLAIN, wrap } from "./terminal.ts";
import { acceptanceText, patientsText, placeText } from "./words.ts";

export interface TextOptions {
  readonly colour: boolean;
  /** The longest line, in columns. */
  readonly width: number;
  /** Gives the text of a file, for the lines that findings are about. */
  readonly textOf: (file: string) => string | undefined;
  /** Tells runs line by line instead of shortly; undefined where the reader has no way to ask for that. */
  readonly verbose?: boolean;
  /** Gives the title of a protocol; its name stands for what has none. */
  readonly titleOf?: (protocol: string) => string | undefined;
}

/**
 * A finding as lines: what is wrong, the source line with the words to blame, the patients or the run, why it
 * matters, and what to do. `ownProtocols` are those of the file, of which the reader needs no reminder.
 */
export function findingLines(
  finding: Finding,
  options: TextOptions,
  ownProtocols: readonly string[],
): string[] {
  const paint = paintOf(options);
  const { origin, related, accepted, protocol } = finding;
  const mark = accepted ? paint.accepted : (text: string) => paint.severity(finding.severity, text);
  const text = options.textOf(origin.file);
  const isElsewhere = protocol !== undefined && (ownProtocols.length > 1 || !ownProtocols.includes(protocol));
  return [
    ...headingLines(accepted ? `accepted (${finding.severity})` : finding.severity, finding.rule, origin, {
      mark,
      width: options.width,
    }),
    ...paragraph(
      "",
      isElsewhere ? `${finding.what} Found for ${titleIn(options, protocol)}.` : finding.what,
      options,
    ),
    ...(text === undefined ? [] : excerpt(text, origin, finding.label, options.width, mark, paint)),
    ...(finding.patients ? paragraph("Patients: ", patientsText(finding.patients), options) : []),
    ...(finding.run ? runLines(finding.run, origin.file, { ...options, paint }) : []),
    ...related.flatMap(({ origin: place, note }) =>
      paragraph("See:  ", `${placeText(place)}, ${note}`, options),
    ),
    ...(finding.why ? paragraph("Why:  ", finding.why, options) : []),
    ...(accepted ? paragraph("Accepted ", acceptanceText(accepted), options) : []),
    ...nextLines(finding, options),
  ];
}

/** “Reduction of a wrist fracture”, as people call the protocol. */
function titleIn({ titleOf }: TextOptions, protocol: string): string {
  return `“${titleOf?.(protocol) ?? protocol.replaceAll("-", " ")}”`;
}

/** A paragraph that hangs under its heading; names between backticks are set apart. */
export function paragraph(heading: string, text: string, options: TextOptions, indent = "  "): string[] {
  const paint = paintOf(options);
  return wrap(plainCharacters(text), options.width, `${indent}${heading}`).map((line) =>
    paintNames(line, paint),
  );
}

/** A paragraph that stands by itself, at the left edge. */
export function wholeParagraph(text: string, options: TextOptions): string[] {
  return paragraph("", text, options, "");
}

export function paintOf({ colour }: Pick<TextOptions, "colour">): Paint {
  return colour ? COLOURED : PLAIN;
}

/** "unsafe  dose-over-maximum            wrist-reduction.limb:41:9", the place at the right edge. */
export function headingLines(
  rank: string,
  name: string,
  origin: Origin,
  { mark, width }: { readonly mark: (text: string) => string; readonly width: number },
): string[] {
  const place = plainCharacters(placeText(origin));
  const gap = width - rank.length - name.length - place.length - 2;
  const heading = `${mark(rank)}  ${name}`;
  return gap >= 2 ? [`${heading}${" ".repeat(gap)}${place}`] : [heading, `  ${place}`];
}

/** What to do, and at the right edge how to read more about the rule. */
function nextLines({ next, rule }: Finding, options: TextOptions): string[] {
  const more = `limb why ${rule}`;
  const lines = wrap(plainCharacters(next), options.width, "  Next: ");
  const paint = paintOf(options);
  const last = lines.at(-1) ?? "";
  const gap = options.width - last.length - more.length;
  const shown = lines.map((line) => paintNames(line, paint));
  if (gap < 2) return [...shown, `${" ".repeat(options.width - more.length)}${paint.faint(more)}`];
  return [...shown.slice(0, -1), `${shown.at(-1)}${" ".repeat(gap)}${paint.faint(more)}`];
}

function paintNames(line: string, paint: Paint): string {
  const marks = line.split("`").length - 1;
  return paint === PLAIN || marks % 2 === 1
    ? line
    : line.replace(/`([^`]+)`/g, (_, name) => paint.strong(name));
}
