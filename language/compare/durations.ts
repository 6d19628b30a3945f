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
  const change = spanChange(before, now);
  if (!change) return [];
  const told = (one: Duration | undefined) => (one ? durationWords(one) : "not stated");
  return [
    {
      kind: kindOf(change.isLooser, change.isTighter),
      about,
      what: `${name} is ${told(now)} now; before, ${told(before)}.`,
      ...bothSides(before, now, durationWords),
      evidence: evidenceOf(change, told(before), told(now)),
    },
  ];
}

/** Undefined where both allow the same. One that is not stated says nothing about how long it takes. */
function spanChange(before: Duration | undefined, now: Duration | undefined) {
  if (!before || !now) {
    return before === now ? undefined : { isLooser: now === undefined, isTighter: before === undefined };
  }
  const shorter = now.shortest.compare(before.shortest);
  const longer = longerOf(before, now);
  if (shorter === 0 && longer === 0) return undefined;
  return { isLooser: shorter < 0 || longer > 0, isTighter: shorter > 0 || longer < 0 };
}

function longerOf({ longest: before }: Duration, { longest: now }: Duration): number {
  if (!before || !now) return Number(before !== undefined) - Number(now !== undefined);
  return now.compare(before);
}

function evidenceOf(
  { isLooser, isTighter }: { readonly isLooser: boolean; readonly isTighter: boolean },
  before: string,
  now: string,
): ChangeEvidence[] {
  return [
    ...(isLooser
      ? [
          {
            kind: "value" as const,
            side: "looser" as const,
            says: `Not all of ${now} was allowed before.`,
          },
        ]
      : []),
    ...(isTighter
      ? [
          {
            kind: "value" as const,
            side: "tighter" as const,
            says: `Not all of ${before} is allowed now.`,
          },
        ]
      : []),
  ];
}
