import type { Origin, RunEvidence, RunLine } from "@limbwright/shared/finding";
import type { PicturePlace, RunClock, RunPicture, RunSpan, RunStrip } from "@limbwright/shared/pictures";
import { clockText } from "@limbwright/shared/quantity";
import type { Protocol } from "../../model/index.ts";
import type { Releases } from "../../rules/engine/over-runs.ts";
import { allLines } from "../findings/told-lines.ts";
import {
  type ClockLimits,
  clockLimitsOf,
  FIRST_CUFF_UP,
  isFromLastInjection,
  minutesText,
} from "./clock-limits.ts";

/** How a picture of a run is told apart and headed. */
export interface PictureTitle {
  readonly id: string;
  readonly title: string;
}

/** Pictures of the runs with the earliest and the latest release. */
export function releasePictures(
  protocol: Protocol,
  { earliest, latest }: Releases,
  id: string,
): RunPicture[] {
  const pictures = [
    ...(earliest
      ? [runPictureOf(protocol, earliest, { id: `${id}-earliest`, title: "The earliest release" })]
      : []),
    ...(latest ? [runPictureOf(protocol, latest, { id: `${id}-latest`, title: "The latest release" })] : []),
  ];
  // One scale for both, so that they can be laid beside each other.
  const until = Math.max(...pictures.map((picture) => picture.until));
  return pictures.map((picture) => ({ ...picture, until }));
}

/**
 * The picture of a run: of one that shows a finding, or of one that was asked for. It ends after the last change of a cuff, or
 * where the last limit of a clock is.
 */
export function runPictureOf(
  protocol: Protocol,
  evidence: RunEvidence,
  { id, title }: PictureTitle,
  about?: string,
): RunPicture {
  const { lines } = evidence;
  const tracks = tracksOf(protocol);
  const changes = tracks.map((track) => changesOf(track, lines));
  const release = lines.find(({ standing }) => partsOf(standing).includes(RELEASED));
  const last = lines.at(-1);
  const lastChange = Math.max(0, ...changes.flat().map(({ seconds }) => seconds));
  const clocks = clockLimitsOf(protocol).flatMap((limits) => clockOf(limits, lines));
  const limits = clocks.flatMap(({ least, most }) => [least?.at ?? 0, most?.at ?? 0]);
  const shown = about === undefined ? lastChange : (last?.seconds ?? 0);
  const until = Math.ceil(Math.max(shown, ...limits) * 1.03);
  const moment = about === undefined ? momentOf(release, releaseText(release, lines)) : momentOf(last, about);
  return {
    id,
    title,
    description: allLines(evidence)
      .map(({ time, what, after }) => `${time} ${what}${after === "" ? "" : `: ${after}`}`)
      .join("; "),
    until,
    strips: tracks.map((track, at) => stripOf(track, changes[at] ?? [], about === undefined ? until : shown)),
    clocks: clocks.map((clock) => ({ ...clock, to: Math.max(clock.from, Math.min(clock.to, shown)) })),
    ...(moment && { moment }),
  };
}

const RELEASED = "drug released";

/** What is told of a run in one strip, and the words by which a run says it. */
interface Track {
  readonly name: string;
  readonly words: ReadonlyMap<string, RunSpan["is"]>;
}

function tracksOf({ cuffs }: Protocol): Track[] {
  const ofCuffs = (cuffs?.cuffs ?? []).map(({ name, label }): Track => {
    const words = new Map<string, RunSpan["is"]>([
      [`${name} up`, "up"],
      [`${name} confirmed`, "confirmed"],
    ]);
    return { name: label === undefined ? name : `${name} (${label})`, words };
  });
  return [
    ...ofCuffs,
    { name: "bandage", words: new Map([["bandage on", "bandage-on"]]) },
    {
      name: "drug",
      words: new Map([
        ["drug in the limb", "in-limb"],
        [RELEASED, "released"],
      ]),
    },
  ];
}

/** From a line on something is so: the words for it, or nothing. */
interface Change {
  readonly seconds: number;
  readonly words: string | undefined;
  readonly line: RunLine;
}

function changesOf({ words }: Track, lines: readonly RunLine[]): Change[] {
  const changes: Change[] = [];
  for (const line of lines) {
    const now = partsOf(line.standing).find((part) => words.has(part));
    if (now !== changes.at(-1)?.words) changes.push({ seconds: line.seconds, words: now, line });
  }
  return changes;
}

function partsOf(standing: string): string[] {
  return standing.split(", ");
}

function stripOf({ name, words }: Track, changes: readonly Change[], until: number): RunStrip {
  const spans = changes.flatMap(({ seconds, words: said, line }, at): RunSpan[] => {
    const is = said === undefined ? undefined : words.get(said);
    if (is === undefined) return [];
    const next = changes[at + 1];
    const to = next?.seconds ?? until;
    const end = next ? `${clockText(seconds)} to ${clockText(to)}` : `from ${clockText(seconds)}`;
    return [{ from: seconds, to, is, says: `${said}, ${end}`, ...placed(line.origin) }];
  });
  return { name, spans };
}

/** A clock as a run shows it; none where its moment does not come. */
function clockOf(limits: ClockLimits, lines: readonly RunLine[]): RunClock[] {
  const { from, names, least, most, origin } = limits;
  const began = lines.findLast((line, at) => isMoment(from, line, lines[at - 1]));
  if (!began || (!least && !most)) return [];
  const start = began.seconds;
  const mark = (seconds: NonNullable<typeof least>) => ({
    at: start + seconds.valueOf(),
    says: minutesText(seconds),
  });
  return [
    {
      name: names.join(", ") || (from === FIRST_CUFF_UP ? "occlusion" : "hold"),
      from: start,
      to: lines.at(-1)?.seconds ?? start,
      ...(least && { least: mark(least) }),
      ...(most && { most: mark(most) }),
      ...placed(origin),
    },
  ];
}

/** Whether a moment comes with a line of a run. */
function isMoment(from: string, line: RunLine, before: RunLine | undefined): boolean {
  const isEnd = line.kind === "end";
  if (from === FIRST_CUFF_UP) {
    const isUp = (one: RunLine | undefined) => /(^|, )\S+ (up|confirmed)(,|$)/.test(one?.standing ?? "");
    return isUp(line) && before !== undefined && !isUp(before) && !line.isInjected;
  }
  if (from === "release") {
    return line.standing.includes(RELEASED) && !(before?.standing.includes(RELEASED) ?? false);
  }
  if (isFromLastInjection(from)) return isEnd && line.what.startsWith("inject ");
  const [kind, name] = from.split(" of ");
  const words = ["inject", "give", "stage"].map((verb) => `${verb} ${name}${kind === "end" ? " ends" : ""}`);
  return line.kind === kind && words.includes(line.what);
}

function releaseText(release: RunLine | undefined, lines: readonly RunLine[]): string {
  const injected = lines.findLast(
    ({ kind, what, seconds }) =>
      kind === "end" && what.startsWith("inject ") && seconds <= (release?.seconds ?? 0),
  );
  return release && injected
    ? `release, ${clockText(release.seconds - injected.seconds)} after the injection`
    : "release";
}

function momentOf(line: RunLine | undefined, says: string): RunPicture["moment"] {
  return line && { at: line.seconds, says, ...placed(line.origin) };
}

function placed(origin: Origin | undefined): { place?: PicturePlace } {
  return origin ? { place: { file: origin.file, line: origin.start.line } } : {};
}
