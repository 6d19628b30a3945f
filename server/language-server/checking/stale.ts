import type { JudgedFile, JudgedProtocol } from "@limbwright/language";
import type { Finding, Origin, Place } from "@limbwright/shared/finding";
import { findReplacedStretch } from "@limbwright/shared/text";

/** What was judged of a file, with the texts it was judged on: its own, and those it uses. */
export interface Proven {
  readonly judged: JudgedFile;
  readonly texts: ReadonlyMap<string, string | undefined>;
}

/**
 * What to show of a file while its runs are gone through again: what was judged at once (`quick`), and of the rules that
 * were put off what was found before, marked stale and moved to where its words stand now.
 */
export function withStale(
  quick: JudgedFile,
  earlier: Proven,
  textOf: (file: string) => string | undefined,
): JudgedFile {
  const moved = movementTo(earlier, textOf);
  const protocols = quick.protocols.map((protocol): JudgedProtocol => {
    const before = earlier.judged.protocols.find(({ name }) => name === protocol.name);
    if (!before) return protocol;
    const found = before.findings.filter(({ rule }) => protocol.pending.includes(rule));
    return { ...protocol, findings: [...protocol.findings, ...found.map((one) => staleAt(one, moved))] };
  });
  return { ...quick, protocols };
}

/** The same of a file that is not open: nothing of it was judged again yet. */
export function allStale(earlier: Proven, textOf: (file: string) => string | undefined): JudgedFile {
  const moved = movementTo(earlier, textOf);
  const stale = (findings: readonly Finding[]) => findings.map((one) => staleAt(one, moved));
  const { judged } = earlier;
  return {
    ...judged,
    inText: stale(judged.inText),
    protocols: judged.protocols.map((protocol) => ({ ...protocol, findings: stale(protocol.findings) })),
  };
}

type Move = (origin: Origin) => Origin;

function staleAt(finding: Finding, moved: Move): Finding {
  const { run } = finding;
  return {
    ...finding,
    origin: moved(finding.origin),
    related: finding.related.map((one) => ({ ...one, origin: moved(one.origin) })),
    ...(run && {
      run: {
        lines: run.lines.map((line) => ({ ...line, ...(line.origin && { origin: moved(line.origin) }) })),
      },
    }),
    // A repair that was worked out for another text may spoil this one.
    repairs: [],
    stale: true,
  };
}

function movementTo({ texts }: Proven, textOf: (file: string) => string | undefined): Move {
  const shifts = new Map<string, (origin: Origin) => Origin>();
  return (origin) => {
    const shift = shifts.get(origin.file) ?? shiftBetween(texts.get(origin.file), textOf(origin.file));
    shifts.set(origin.file, shift);
    return shift(origin);
  };
}

/** Moves places by what was typed between two texts, taken as one stretch that was replaced by another. */
function shiftBetween(before = "", after = ""): Move {
  if (before === after) return (origin) => origin;
  const { start, endBefore, endAfter } = findReplacedStretch(before, after);
  const place = placesIn(after);
  const shift = (offset: number) => {
    if (offset <= start) return offset;
    if (offset >= endBefore) return offset + after.length - before.length;
    return Math.min(offset, endAfter);
  };
  return (origin) => ({
    file: origin.file,
    start: place(shift(origin.start.offset)),
    end: place(shift(origin.end.offset)),
  });
}

function placesIn(text: string): (offset: number) => Place {
  const starts = [0];
  for (const { index, 0: end } of text.matchAll(/\r\n|\r|\n/g)) starts.push(index + end.length);
  return (offset) => {
    const after = starts.findIndex((start) => start > offset);
    const line = after < 0 ? starts.length : after;
    return { line, column: offset - (starts[line - 1] ?? 0) + 1, offset };
  };
}
