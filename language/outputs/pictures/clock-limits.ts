import type { Origin } from "@limbwright/shared/finding";
import {
  durationText,
  fromBase,
  greater,
  inBase,
  lesser,
  quantityText,
  type Rational,
} from "@limbwright/shared/quantity";
import type { Moment, Protocol } from "../../model/index.ts";
import { rule as earlyRelease } from "../../rules/early-release/rule.ts";
import { parametersFor } from "../../rules/engine/parameters.ts";
import { longestOcclusion, rule as occlusionTooLong } from "../../rules/occlusion-too-long/rule.ts";
import { momentName } from "../../runs/index.ts";

/** A moment that something counts from, with the least until the release and the most until the last deflation. */
export interface ClockLimits {
  /** "end of local", "first cuff up". */
  readonly from: string;
  /** The timers of the protocol that count from it; none where only rules do. */
  readonly names: readonly string[];
  /** Seconds. */
  readonly least?: Rational;
  readonly most?: Rational;
  readonly origin?: Origin;
}

export const FIRST_CUFF_UP = "first cuff up";
const LAST_INJECTION = "end of the last injection";

/**
 * The clocks of a protocol by the moment they count from: its own timers and what the rules ask that it is judged by,
 * whichever is tighter.
 */
export function clockLimitsOf(protocol: Protocol): ClockLimits[] {
  const { localRules, timers } = protocol;
  const least = parametersFor(earlyRelease, localRules)("minimum").value;
  const most = parametersFor(occlusionTooLong, localRules)(longestOcclusion(protocol)).value;
  const all: ClockLimits[] = [
    { from: FIRST_CUFF_UP, names: [], most },
    { from: injectionEnd(protocol), names: [], least },
    ...timers.flatMap(({ name, from, atLeast, atMost, origin }): ClockLimits[] =>
      from
        ? [
            {
              from: momentText(from),
              names: [name],
              ...(atLeast && { least: inBase(atLeast) }),
              ...(atMost && { most: inBase(atMost) }),
              origin,
            },
          ]
        : [],
    ),
  ];
  const moments = [...new Set(all.map(({ from }) => from))];
  return moments.map((moment) => all.filter(({ from }) => from === moment).reduce(tightest));
}

/** A moment in the words of the bedside. */
export function momentText(moment: Moment): string {
  return moment.kind === "first-inflation" ? FIRST_CUFF_UP : momentName(moment);
}

/** A time to be added to one of a clock: in minutes, also over an hour. */
export function minutesText(seconds: Rational): string {
  return seconds.div(60).d === 1n ? quantityText(fromBase(seconds, "min")) : durationText(seconds);
}

/** Whether a clock counts from the end of any injection, the last one that there was. */
export function isFromLastInjection(from: string): boolean {
  return from === LAST_INJECTION;
}

/** The moment that the minimum counts from: the end of the one injection, or of the last of several. */
function injectionEnd({ doses }: Protocol): string {
  const own = doses.filter(({ emergency }) => emergency === undefined);
  return own.length === 1 ? `end of ${own[0]?.name}` : LAST_INJECTION;
}

function tightest(one: ClockLimits, other: ClockLimits): ClockLimits {
  const least = both(one.least, other.least, greater);
  const most = both(one.most, other.most, lesser);
  const origin = one.origin ?? other.origin;
  return {
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
