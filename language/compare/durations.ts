import { durationText } from "@limbwright/shared/quantity";
import type { Duration } from "../model/index.ts";
import { durationWords } from "../runs/index.ts";
import type { ChangeEvidence } from "./change.ts";
import { bothSides, type FoundChange, kindOf } from "./side.ts";

/** What a span of time is called. */
export interface Span {
  readonly about: string;
  readonly name: string;
}

/** A time that may be shorter or longer than before is looser; one that no longer may be is tighter. */
export function durationChange(
  { about, name }: Span,
  before: Duration | undefined,
  now: Duration | undefined,
): FoundChange[] {
  const { gained, lost } = spansBetween(before, now);
  if (gained.length + lost.length === 0) return [];
  const told = (one: Duration | undefined) => (one ? durationWords(one) : "not stated");
  return [
    {
      kind: kindOf(gained.length > 0, lost.length > 0),
      about,
      what: `${name} is ${told(now)} now; before, ${told(before)}.`,
      ...bothSides(before, now, durationWords),
      evidence: [
        ...gained.map((says) => evidence("looser", `${says} is allowed now and was not before.`)),
        ...lost.map((says) => evidence("tighter", `${says} was allowed before and is not now.`)),
      ],
    },
  ];
}

function evidence(side: "looser" | "tighter", says: string): ChangeEvidence {
  return { kind: "value", side, says };
}

/** The times that only one version allows, in words. One that is not stated says nothing about how long it takes. */
function spansBetween(before: Duration | undefined, now: Duration | undefined) {
  if (!before || !now) {
    const any = ["Any other time"];
    return { gained: before && !now ? any : [], lost: now && !before ? any : [] };
  }
  return { gained: spansBeyond(now, before), lost: spansBeyond(before, now) };
}

/** What one duration allows and the other does not. */
function spansBeyond(one: Duration, other: Duration): string[] {
  if (isBefore(one, other) || isBefore(other, one)) return [wholeSpan(one)];
  const shorter = one.shortest.compare(other.shortest) < 0;
  const { longest: most } = other;
  const longer = most !== undefined && (one.longest === undefined || one.longest.compare(most) > 0);
  return [
    ...(shorter ? [`Less than ${durationText(other.shortest)}, down to ${durationText(one.shortest)},`] : []),
    ...(longer
      ? [
          one.longest
            ? `More than ${durationText(most)}, up to ${durationText(one.longest)},`
            : `More than ${durationText(most)}, without limit,`,
        ]
      : []),
  ];
}

/** Whether all of one is shorter than all of another. */
function isBefore({ longest }: Duration, { shortest }: Duration): boolean {
  return longest !== undefined && longest.compare(shortest) < 0;
}

function wholeSpan({ shortest, longest }: Duration): string {
  const least = durationText(shortest);
  if (!longest) return `A time of ${least} or more`;
  return longest.equals(shortest) ? `Just ${least}` : `A time of ${least} to ${durationText(longest)}`;
}
