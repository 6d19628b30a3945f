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
  /** The clocks whose exact value is asked when a move is taken. */
  readonly clocksAt: (state: State, move: Move) => readonly string[];
  /** Takes note of a move and the times at which it is taken. */
  readonly take: (graph: DiscreteGraph, edge: TimedEdge, zone: ZoneView) => void;
  readonly envelope: () => Envelope;
}

interface Span {
  least: Extreme;
  /** Undefined without limit. */
  greatest: Extreme | undefined;
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
  let release: Span | undefined;
  let occlusion: Span | undefined;
  let lastOnes: ReadonlySet<number> | undefined;
  return {
    clocksAt: (state, move) => [
      ...(isRelease(state, move) ? [HOLD] : []),
      ...(isDeflation(state, move) ? [OCCLUSION] : []),
    ],
    take: (graph, edge, zone) => {
      const { from, move, check } = graph.meanings[edge.id] ?? { from: 0 };
      const state = graph.nodes[from]?.state;
      if (!move || !state || check !== undefined) return;
      if (isRelease(state, move)) {
        release = widened(release, state[holdRuns] === 1 ? spanOf(zone, clock(HOLD)) : AT_ONCE);
      }
      if (isDeflation(state, move)) {
        lastOnes ??= lastDeflations(graph, isDeflation, isPlanned);
        if (lastOnes.has(edge.id)) occlusion = widened(occlusion, spanOf(zone, clock(OCCLUSION)));
      }
    },
    envelope: () => ({
      ...(release && {
        release: { earliest: release.least, ...(release.greatest && { latest: release.greatest }) },
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

function widened(span: Span | undefined, other: Span): Span {
  if (!span) return { ...other };
  return {
    least: isLess(other.least, span.least) ? other.least : span.least,
    greatest:
      span.greatest &&
      other.greatest &&
      (isLess(other.greatest, span.greatest, true) ? span.greatest : other.greatest),
  };
}

function isLess(a: Extreme, b: Extreme, ofGreatest = false): boolean {
  if (a.seconds !== b.seconds) return a.seconds < b.seconds;
  return ofGreatest ? !a.attained : a.attained;
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
