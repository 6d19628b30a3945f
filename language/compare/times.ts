import { clockText } from "@limbwright/shared/quantity";
import { releasesOf } from "../rules/engine/over-runs.ts";
import { type Envelope, type Extreme, type Runs, wholeEnvelope } from "../runs/index.ts";
import type { ComparedTime } from "./comparison.ts";
import type { FoundChange } from "./side.ts";

interface TimeAsked {
  readonly what: string;
  readonly of: (envelope: Envelope) => Extreme | undefined;
  readonly within: "release" | "occlusion";
  /** Whether a lower time allows more. */
  readonly looser: "lower" | "higher";
}

const ASKED: readonly TimeAsked[] = [
  {
    what: "Earliest release after the injection",
    of: ({ release }) => release?.earliest,
    within: "release",
    looser: "lower",
  },
  {
    what: "Latest release after the injection",
    of: ({ release }) => release?.latest,
    within: "release",
    looser: "higher",
  },
  {
    what: "Shortest occlusion",
    of: ({ occlusion }) => occlusion?.shortest,
    within: "occlusion",
    looser: "lower",
  },
  {
    what: "Longest occlusion",
    of: ({ occlusion }) => occlusion?.longest,
    within: "occlusion",
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

function saidOf({ of, within }: TimeAsked, envelope: Envelope): string {
  if (!envelope[within]) return "no run comes to it";
  const time = of(envelope);
  if (!time) return "no limit";
  return `${time.attained ? "" : "near "}${clockText(time.seconds)}`;
}

function kindOfTime(
  { of, within, looser }: TimeAsked,
  before: Envelope | undefined,
  now: Envelope | undefined,
): ComparedTime["kind"] {
  if (!before || !now || !before[within] !== !now[within]) return "not-decided";
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
        code: "release-time",
        about: "release",
        what: `${row.what}: ${row.now} now; before, ${row.before}.`,
        evidence: [
          { kind: "run", side: "gained", run, other: `Before, it was ${row.before} over all runs.` },
        ],
      },
    ];
  });
}
