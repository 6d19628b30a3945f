import { clockText } from "@limbwright/shared/quantity";
import { releasesOf } from "../rules/engine/over-runs.ts";
import { type Envelope, type Extreme, type Runs, wholeEnvelope } from "../runs/index.ts";
import type { ComparedTime } from "./comparison.ts";
import type { FoundChange } from "./side.ts";

interface TimeAsked {
  readonly what: string;
  readonly of: (envelope: Envelope) => Extreme | undefined;
  readonly isAsked: (envelope: Envelope) => boolean;
  /** Whether a lower time allows more. */
  readonly looser: "lower" | "higher";
}

const ASKED: readonly TimeAsked[] = [
  {
    what: "Earliest release after the injection",
    of: ({ release }) => release?.earliest,
    isAsked: ({ release }) => release !== undefined,
    looser: "lower",
  },
  {
    what: "Latest release after the injection",
    of: ({ release }) => release?.latest,
    isAsked: ({ release }) => release !== undefined,
    looser: "higher",
  },
  {
    what: "Shortest occlusion",
    of: ({ occlusion }) => occlusion?.shortest,
    isAsked: ({ occlusion }) => occlusion !== undefined,
    looser: "lower",
  },
  {
    what: "Longest occlusion",
    of: ({ occlusion }) => occlusion?.longest,
    isAsked: ({ occlusion }) => occlusion !== undefined,
    looser: "higher",
  },
];

/** The extremes over all runs of either version. */
export function comparedTimes(before: Runs, now: Runs): ComparedTime[] {
  const [old, recent] = [wholeEnvelope(before), wholeEnvelope(now)];
  return ASKED.map((asked) => {
    const told = (envelope: Envelope | undefined) => (envelope ? saidOf(asked, envelope) : "not known");
    return { what: asked.what, before: told(old), now: told(recent), kind: kindOfTime(asked, old, recent) };
  });
}

function saidOf({ of, isAsked }: TimeAsked, envelope: Envelope): string {
  if (!isAsked(envelope)) return "no run comes to it";
  const time = of(envelope);
  if (!time) return "no limit";
  return `${time.attained ? "" : "near "}${clockText(time.seconds)}`;
}

function kindOfTime(
  { of, isAsked, looser }: TimeAsked,
  before: Envelope | undefined,
  now: Envelope | undefined,
): ComparedTime["kind"] {
  if (!before || !now || isAsked(before) !== isAsked(now)) return "not-decided";
  const [old, recent] = [of(before), of(now)];
  if (!old || !recent) {
    if (old === recent) return "same";
    return recent ? "tighter" : "looser";
  }
  const side = recent.seconds - old.seconds || edgeSide(old, recent, looser);
  if (side === 0) return "same";
  return side < 0 === (looser === "lower") ? "looser" : "tighter";
}

/** At the same second, one that is reached goes further than one that is only come near. */
function edgeSide(before: Extreme, now: Extreme, looser: TimeAsked["looser"]): number {
  const more = Number(now.attained) - Number(before.attained);
  return looser === "lower" ? -more : more;
}

/**
 * An earlier or a later release as a change of its own: of all that runs gained it matters most. The run is one of the later
 * version; no run of the earlier one releases then.
 */
export function releaseChanges(before: Runs, now: Runs): FoundChange[] {
  const rows = comparedTimes(before, now);
  const { earliest, latest } = releasesOf(now);
  const runs = [earliest, latest];
  return rows.slice(0, 2).flatMap((row, at): FoundChange[] => {
    const run = runs[at];
    if (row.kind !== "looser" || !run) return [];
    return [
      {
        kind: "looser",
        about: "release",
        what: `${row.what}: ${row.now} now; before, ${row.before}.`,
        evidence: [
          { kind: "run", side: "gained", run, other: `Before, it was ${row.before} over all runs.` },
        ],
      },
    ];
  });
}
