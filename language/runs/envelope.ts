import {
  type Automaton,
  isEmergency,
  locationOf,
  type Move,
  type State,
  VARIABLES_FROM,
} from "@limbwright/shared/runtime";
import { cuffVariable, HOLD, IN_LIMB, OCCLUSION, RELEASED } from "./automaton/facts.ts";
import type { DiscreteGraph } from "./discrete-graph.ts";
import type { Envelope, Extreme } from "./runs.ts";
import { leadingTo } from "./walk-back.ts";
import type { TimedEdge } from "./zones/timed-system.ts";
import type { ZoneView } from "./zones/zone-view.ts";

/** Gathers, from every move that runs take, how early and how late the release and the last deflation come. */
export interface EnvelopeSearch {
  /** Whether it reads a variable or a clock in the states that are reached. */
  readonly asks: (name: string) => boolean;
  /** The clocks whose exact value is asked when a move is taken. */
  readonly clocksAt: (state: State, move: Move) => readonly string[];
  /** Takes note of a move, the node of the search it is taken from, and the times at which it is taken. */
  readonly take: (graph: DiscreteGraph, edge: TimedEdge, node: number, zone: ZoneView) => void;
  readonly envelope: () => Envelope;
  /** Where the search found the earliest and the latest release; a latest that is missing has no limit. */
  readonly releases: () => { readonly earliest?: FoundRelease; readonly latest?: FoundRelease };
}

/** What the clock from the injection shows at a release, with its move and the node that is taken from. */
export interface FoundRelease extends Extreme {
  readonly node: number;
  readonly edge: TimedEdge;
}

interface Span<Of extends Extreme = Extreme> {
  least: Of;
  /** Undefined without limit. */
  greatest: Of | undefined;
}

export function envelopeSearch(automaton: Automaton, cuffs: readonly string[]): EnvelopeSearch {
  const slot = (name: string) => VARIABLES_FROM + automaton.variables.findIndex((one) => one.name === name);
  const drug = slot("drug");
  const holdRuns = slot("hold runs");
  const cuffSlots = cuffs.map((cuff) => slot(cuffVariable(cuff)));
  const isUp = (state: State) => cuffSlots.some((at) => (state[at] ?? 0) > 0);
  const isPlanned = (state: State) => !isEmergency(automaton.locations[locationOf(state)]?.phase ?? "end");
  const isRelease = (state: State, { next }: Move) =>
    isPlanned(state) && state[drug] === IN_LIMB && next[drug] === RELEASED;
  const isDeflation = (state: State, { next }: Move) => isPlanned(state) && isUp(state) && !isUp(next);
  const clock = (name: string) => automaton.clocks.indexOf(name) + 1;
  let release: Span<FoundRelease> | undefined;
  let occlusion: Span | undefined;
  let lastOnes: ReadonlySet<number> | undefined;
  return {
    asks: (name) => ["drug", "hold runs", HOLD, OCCLUSION].includes(name),
    clocksAt: (state, move) => [
      ...(isRelease(state, move) ? [HOLD] : []),
      ...(isDeflation(state, move) ? [OCCLUSION] : []),
    ],
    take: (graph, edge, node, zone) => {
      const { from, move, check } = graph.meanings[edge.id] ?? { from: 0 };
      const state = graph.nodes[from]?.state;
      if (!move || !state || check !== undefined) return;
      if (isRelease(state, move)) {
        const span = state[holdRuns] === 1 ? spanOf(zone, clock(HOLD)) : AT_ONCE;
        release = widen(release, addPlace(span, { node, edge }));
      }
      if (isDeflation(state, move)) {
        lastOnes ??= lastDeflations(graph, isDeflation, isPlanned);
        if (lastOnes.has(edge.id)) occlusion = widen(occlusion, spanOf(zone, clock(OCCLUSION)));
      }
    },
    releases: () => ({
      ...(release && { earliest: release.least }),
      ...(release?.greatest && { latest: release.greatest }),
    }),
    envelope: () => ({
      ...(release && {
        release: {
          earliest: timeOf(release.least),
          ...(release.greatest && { latest: timeOf(release.greatest) }),
        },
      }),
      ...(occlusion && {
        occlusion: { shortest: occlusion.least, ...(occlusion.greatest && { longest: occlusion.greatest }) },
      }),
    }),
  };
}

/** A release while the injection still goes on: no time has passed since its end. */
const AT_ONCE: Span = { least: { seconds: 0, attained: true }, greatest: { seconds: 0, attained: true } };

function spanOf(zone: ZoneView, clock: number): Span {
  const least = zone.leastOf(clock);
  const greatest = zone.greatestOf(clock);
  return {
    least: { seconds: least.value, attained: !least.strict },
    greatest: greatest && { seconds: greatest.value, attained: !greatest.strict },
  };
}

function addPlace({ least, greatest }: Span, where: Omit<FoundRelease, keyof Extreme>): Span<FoundRelease> {
  return { least: { ...least, ...where }, greatest: greatest && { ...greatest, ...where } };
}

function timeOf({ seconds, attained }: Extreme): Extreme {
  return { seconds, attained };
}

/** Of two that come to the same, the one found first stays: it needs no more decisions. */
function widen<Of extends Extreme>(span: Span<Of> | undefined, other: Span<Of>): Span<Of> {
  if (!span) return { ...other };
  return {
    least: isLess(other.least, span.least) ? other.least : span.least,
    greatest:
      span.greatest &&
      other.greatest &&
      (isGreater(other.greatest, span.greatest) ? other.greatest : span.greatest),
  };
}

function isLess(a: Extreme, b: Extreme): boolean {
  return a.seconds === b.seconds ? a.attained && !b.attained : a.seconds < b.seconds;
}

function isGreater(a: Extreme, b: Extreme): boolean {
  return a.seconds === b.seconds ? a.attained && !b.attained : a.seconds > b.seconds;
}

/** The edges that let the last cuff down for good: a run may end after them without doing so again. */
function lastDeflations(
  { nodes, meanings }: DiscreteGraph,
  isDeflation: (state: State, move: Move) => boolean,
  isPlanned: (state: State) => boolean,
): Set<number> {
  const isTaken = ({ id }: TimedEdge, deflates: boolean) => {
    const { from, move } = meanings[id] ?? { from: 0 };
    const state = nodes[from]?.state;
    return (
      state !== undefined && move !== undefined && isPlanned(state) && isDeflation(state, move) === deflates
    );
  };
  const ends = nodes.flatMap(({ state, edges }, at) => (state && edges.length === 0 ? [at] : []));
  const endsUndeflated = leadingTo(nodes, ends, (edge) => isTaken(edge, false));
  const deflations = nodes.flatMap(({ edges }) => edges.filter((edge) => isTaken(edge, true)));
  return new Set(deflations.filter(({ target }) => endsUndeflated.has(target)).map(({ id }) => id));
}
