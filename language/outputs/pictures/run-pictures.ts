import {
  factWords,
  type LinePlace,
  type Origin,
  placeOf,
  type RunEvidence,
  type RunFact,
  type RunLine,
} from "@limbwright/shared/finding";
import type { RunClock, RunPicture, RunSpan, RunStrip } from "@limbwright/shared/pictures";
import {
  clockText,
  durationText,
  fromBase,
  greater,
  inBase,
  lesser,
  quantityText,
  type Rational,
} from "@limbwright/shared/quantity";
import { type Moment, ownDoses, type Protocol } from "../../model/index.ts";
import type { Releases } from "../../rules/engine/over-runs.ts";
import { parametersFor } from "../../rules/engine/parameters.ts";
import { STATED } from "../../rules/generated/stated.ts";
import { longestOcclusion } from "../../rules/occlusion-too-long/rule.ts";
import { momentName } from "../../runs/index.ts";
import { allLines } from "../findings/run-lines.ts";

/** How a picture of a run is told apart and headed. */
export interface PictureTitle {
  readonly id: string;
  readonly title: string;
}

/** Pictures of the runs with the earliest and the latest release. */
export function releasePictures(protocol: Protocol, releases: Releases, id: string): RunPicture[] {
  const pictures = (["earliest", "latest"] as const).flatMap((which) => {
    const run = releases[which];
    const title = { id: `${id}-${which}`, title: `The ${which} release` };
    return run ? [runPictureOf(protocol, run, title)] : [];
  });
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
  const release = lines.find(isReleased);
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

/** What is told of a run in one strip. */
interface Track {
  readonly name: string;
  /** How something that is so is drawn in it; undefined where it belongs to another strip. */
  readonly spanOf: (fact: RunFact) => RunSpan["is"] | undefined;
}

function tracksOf({ cuffs }: Protocol): Track[] {
  const ofCuffs = (cuffs?.cuffs ?? []).map(
    ({ name, label }): Track => ({
      name: label === undefined ? name : `${name} (${label})`,
      spanOf: (fact) =>
        fact.kind === "cuff" && fact.cuff === name && fact.is !== "flat" ? fact.is : undefined,
    }),
  );
  return [
    ...ofCuffs,
    {
      name: "bandage",
      spanOf: ({ kind, is }) => (kind === "bandage" && is === "on" ? "bandage-on" : undefined),
    },
    {
      name: "drug",
      spanOf: (fact) => {
        if (fact.kind !== "drug" || fact.is === "not injected") return undefined;
        return fact.is === "released" ? "released" : "in-limb";
      },
    },
  ];
}

/** From a line on something is so, or nothing. */
interface Change {
  readonly seconds: number;
  readonly fact: RunFact | undefined;
  readonly line: RunLine;
}

function changesOf({ spanOf }: Track, lines: readonly RunLine[]): Change[] {
  const changes: Change[] = [];
  for (const line of lines) {
    const fact = line.facts.find((one) => spanOf(one) !== undefined);
    if (fact?.is !== changes.at(-1)?.fact?.is) changes.push({ seconds: line.seconds, fact, line });
  }
  return changes;
}

function stripOf({ name, spanOf }: Track, changes: readonly Change[], until: number): RunStrip {
  const spans = changes.flatMap(({ seconds, fact, line }, at): RunSpan[] => {
    const is = fact && spanOf(fact);
    if (!fact || is === undefined) return [];
    const next = changes[at + 1];
    const to = next?.seconds ?? until;
    const end = next ? `${clockText(seconds)} to ${clockText(to)}` : `from ${clockText(seconds)}`;
    return [{ from: seconds, to, is, says: `${factWords(fact)}, ${end}`, ...linkTo("place", line.origin) }];
  });
  return { name, spans };
}

/** A clock as a run shows it; none where its moment does not come. */
function clockOf(limits: ClockLimits, lines: readonly RunLine[]): RunClock[] {
  const { moment, names, least, most, origin } = limits;
  const began = lines.findLast((line, at) => isMoment(moment, line, lines[at - 1]));
  if (!began || (!least && !most)) return [];
  const start = began.seconds;
  const mark = (seconds: NonNullable<typeof least>) => ({
    at: start + seconds.valueOf(),
    says: minutesText(seconds),
  });
  return [
    {
      name: names.join(", ") || (moment.kind === "first-inflation" ? "occlusion" : "hold"),
      from: start,
      to: lines.at(-1)?.seconds ?? start,
      ...(least && { least: mark(least) }),
      ...(most && { most: mark(most) }),
      ...linkTo("place", origin),
    },
  ];
}

/** Whether a moment comes with a line of a run. */
function isMoment(moment: Counted, line: RunLine, before: RunLine | undefined): boolean {
  const { kind, step } = line;
  switch (moment.kind) {
    case "first-inflation":
      return before !== undefined && isCuffUp(line) && !isCuffUp(before) && !line.isInjected;
    case "release":
      return isReleased(line) && !(before && isReleased(before));
    case "last-injection":
      return isEndOfInjection(line);
    case "start":
    case "end": {
      const isOfStage = step?.kind === "stage" && step.stage === moment.target;
      return kind === moment.kind && (step?.dose === moment.target || isOfStage);
    }
  }
}

function isCuffUp({ facts }: RunLine): boolean {
  return facts.some(({ kind, is }) => kind === "cuff" && is !== "flat");
}

function isReleased({ facts }: RunLine): boolean {
  return facts.some(({ kind, is }) => kind === "drug" && is === "released");
}

function isEndOfInjection({ kind, step }: RunLine): boolean {
  return kind === "end" && step?.kind === "inject";
}

function releaseText(release: RunLine | undefined, lines: readonly RunLine[]): string {
  const injected = lines.findLast(
    (line) => isEndOfInjection(line) && line.seconds <= (release?.seconds ?? 0),
  );
  return release && injected
    ? `release, ${clockText(release.seconds - injected.seconds)} after the injection`
    : "release";
}

function momentOf(line: RunLine | undefined, says: string): RunPicture["moment"] {
  return line && { at: line.seconds, says, ...linkTo("place", line.origin) };
}

/** The place that a mark leads to, under its name; nothing where there is none. */
export function linkTo<Key extends string>(
  key: Key,
  origin: Origin | undefined,
): Partial<Record<Key, LinePlace>> {
  if (!origin) return {};
  return { [key]: placeOf(origin) } as Record<Key, LinePlace>;
}

/** A moment that something counts from, with the least until the release and the most until the last deflation. */
export interface ClockLimits {
  readonly moment: Counted;
  /** The same for a reader: "end of local", "first cuff up". */
  readonly from: string;
  /** The timers of the protocol that count from it; none where only rules do. */
  readonly names: readonly string[];
  /** Seconds. */
  readonly least?: Rational;
  readonly most?: Rational;
  readonly origin?: Origin;
}

/** What a clock counts from: a moment, or the end of whichever injection was the last. */
export type Counted = Moment | { readonly kind: "last-injection" };

/**
 * The clocks of a protocol by the moment they count from: its own timers and what the rules ask that it is judged by,
 * whichever is tighter.
 */
export function clockLimitsOf(protocol: Protocol): ClockLimits[] {
  const { localRules, timers, origin } = protocol;
  const least = parametersFor(STATED["early-release"], localRules)("minimum").value;
  const most = parametersFor(STATED["occlusion-too-long"], localRules)(longestOcclusion(protocol)).value;
  const all: ClockLimits[] = [
    { ...countedFrom({ kind: "first-inflation", origin }), names: [], most },
    { ...countedFrom(injectionEnd(protocol)), names: [], least },
    ...timers.flatMap(({ name, from, atLeast, atMost, origin: declared }): ClockLimits[] =>
      from
        ? [
            {
              ...countedFrom(from),
              names: [name],
              ...(atLeast && { least: inBase(atLeast) }),
              ...(atMost && { most: inBase(atMost) }),
              origin: declared,
            },
          ]
        : [],
    ),
  ];
  const moments = [...new Set(all.map(({ from }) => from))];
  return moments.map((moment) => all.filter(({ from }) => from === moment).reduce(tightest));
}

function countedFrom(moment: Counted): Pick<ClockLimits, "moment" | "from"> {
  return { moment, from: momentText(moment) };
}

/** A moment in the words of the bedside. */
export function momentText(moment: Counted): string {
  if (moment.kind === "last-injection") return "end of the last injection";
  return moment.kind === "first-inflation" ? "first cuff up" : momentName(moment);
}

/** A time to be added to one of a clock: in minutes, also over an hour. */
export function minutesText(seconds: Rational): string {
  return seconds.div(60).d === 1n ? quantityText(fromBase(seconds, "min")) : durationText(seconds);
}

/** The moment that the minimum counts from: the end of the one injection, or of the last of several. */
function injectionEnd(protocol: Protocol): Counted {
  const [dose, another] = ownDoses(protocol);
  if (!dose || another) return { kind: "last-injection" };
  return { kind: "end", target: dose.name, targetKind: "dose", origin: protocol.origin };
}

function tightest(one: ClockLimits, other: ClockLimits): ClockLimits {
  const least = both(one.least, other.least, greater);
  const most = both(one.most, other.most, lesser);
  const origin = one.origin ?? other.origin;
  return {
    moment: one.moment,
    from: one.from,
    names: [...one.names, ...other.names],
    ...(least && { least }),
    ...(most && { most }),
    ...(origin && { origin }),
  };
}

function both(
  one: Rational | undefined,
  other: Rational | undefined,
  choose: (a: Rational, b: Rational) => Rational,
): Rational | undefined {
  return one && other ? choose(one, other) : (one ?? other);
}
