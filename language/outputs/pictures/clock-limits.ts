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
import { parametersFor } from "../../rules/engine/parameters.ts";
import { STATED } from "../../rules/generated/stated.ts";
import { longestOcclusion } from "../../rules/occlusion-too-long/rule.ts";
import { momentName } from "../../runs/index.ts";

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
function injectionEnd({ doses, origin }: Protocol): Counted {
  const [dose, another] = doses.filter(({ emergency }) => emergency === undefined);
  if (!dose || another) return { kind: "last-injection" };
  return { kind: "end", target: dose.name, targetKind: "dose", origin };
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
