import { type Machine, type Move, type Span, type Standing, standingAfter } from "@limbwright/shared/runtime";

/** Something that is seen at a time, in seconds from the beginning. */
export interface Sight {
  readonly seen: string;
  readonly at: number;
}

/** How far a machine can do what was seen, at the times at which it was seen. */
export interface Followed {
  /** How many of the sights it can follow, from the first on. */
  readonly count: number;
  /** The spans in which it could have done the next one; empty where it never does that there. */
  readonly spans: readonly Span[];
}

/** What a machine's moves are seen as; undefined where nothing is seen. */
export type SeenAs = (move: Move) => string | undefined;

/** Standings beyond this many are too many to be followed; what was found is then not shown. */
const MOST_STANDINGS = 5_000;

/**
 * Lets a machine follow what was seen, in every way in which it can be silent in between. Undefined where the ways are
 * too many.
 */
export function follow(machine: Machine, seenAs: SeenAs, sights: readonly Sight[]): Followed | undefined {
  let standings: readonly Standing[] = [machine.start()];
  for (const [count, sight] of sights.entries()) {
    const reached = goSilently(machine, seenAs, standings, sight.at);
    if (!reached) return undefined;
    const next = reached.flatMap((standing) => takeSeenMoves(machine, seenAs, standing, sight));
    if (next.length === 0) return { count, spans: spansOf(machine, seenAs, reached, sight) };
    standings = withoutTwins(next);
  }
  return { count: sights.length, spans: [] };
}

/** Everywhere it can come without being seen up to a time. */
function goSilently(
  machine: Machine,
  seenAs: SeenAs,
  standings: readonly Standing[],
  until: number,
): Standing[] | undefined {
  const found = new Map(standings.map((standing) => [keyOf(standing), standing]));
  const waiting = [...standings];
  for (let standing = waiting.pop(); standing; standing = waiting.pop()) {
    if (found.size > MOST_STANDINGS) return undefined;
    for (const move of machine.movesAt(standing).moves) {
      if (seenAs(move) !== undefined) continue;
      for (const at of momentsOf(machine.spanOf(standing, move), until)) {
        const next = standingAfter(standing, move, at);
        const key = keyOf(next);
        if (found.has(key)) continue;
        found.set(key, next);
        waiting.push(next);
      }
    }
  }
  return [...found.values()];
}

/** The first and the last moment at which a silent move can be made: what can follow any other, can follow one of these. */
function momentsOf(span: Span | undefined, until: number): number[] {
  if (!span || span.from > until || (span.after && span.from >= until)) return [];
  const last = span.to === undefined || span.to > until ? until : span.to;
  const first = span.after ? (span.from + last) / 2 : span.from;
  const end = span.open && last === span.to ? (first + last) / 2 : last;
  return first === end ? [first] : [first, end];
}

function takeSeenMoves(
  machine: Machine,
  seenAs: SeenAs,
  standing: Standing,
  { seen, at }: Sight,
): Standing[] {
  return machine.movesAt(standing).moves.flatMap((move) => {
    if (seenAs(move) !== seen) return [];
    const next = machine.take(standing, move.edge, at);
    return "kind" in next ? [] : [next];
  });
}

function spansOf(
  machine: Machine,
  seenAs: SeenAs,
  standings: readonly Standing[],
  { seen, at }: Sight,
): Span[] {
  const later = goSilently(machine, seenAs, standings, at + A_DAY) ?? standings;
  return later.flatMap((standing) =>
    machine.movesAt(standing).moves.flatMap((move) => {
      const span = seenAs(move) === seen ? machine.spanOf(standing, move) : undefined;
      return span ? [span] : [];
    }),
  );
}

const A_DAY = 86_400;

function withoutTwins(standings: readonly Standing[]): Standing[] {
  return [...new Map(standings.map((standing) => [keyOf(standing), standing])).values()];
}

function keyOf({ state, at, began }: Standing): string {
  return `${state.join(",")} ${at} ${Object.values(began).join(",")}`;
}
