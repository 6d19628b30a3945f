import { eventLike, keyOfEvent, locationOf, type Move } from "@limbwright/shared/runtime";
import type { TracedAutomaton } from "../automaton/draft.ts";
import { keyOfDeed } from "../automaton/step-meaning.ts";
import { MOST_STATES, type ProtocolSystem, systemOf } from "../system.ts";

/**
 * An automaton as somebody sees it who stands beside the team: a step that begins, an event, an answer, an end that a
 * clock counts from, the end of the run. What is not seen (`undefined`) happens silently: one step's end is the next
 * one's beginning, and passing into a routine or a round is nothing that anybody does.
 */
export interface Observed {
  readonly traced: TracedAutomaton;
  readonly system: ProtocolSystem;
  /** What is seen of a move; undefined where nothing is. */
  readonly seen: (move: Move) => string | undefined;
}

/** An automaton with the names under which its moves would be seen. */
interface Named {
  readonly traced: TracedAutomaton;
  readonly system: ProtocolSystem;
  readonly nameOf: (move: Move) => string | undefined;
  /** Whether it is seen whatever the other automaton does. */
  readonly isOpen: (move: Move) => boolean;
}

/**
 * Two automata observed alike: an end that only one of them counts from is seen in both. Undefined when one has too many
 * states, or when it was cancelled.
 */
export function observeAlike(
  first: TracedAutomaton,
  second: TracedAutomaton,
  isCancelled?: () => boolean,
): readonly [Observed, Observed] | undefined {
  const [a, b] = [nameMoves(first, isCancelled), nameMoves(second, isCancelled)];
  if (!a || !b) return undefined;
  const open = new Set([...openNames(a), ...openNames(b)]);
  const observe = ({ traced, system, nameOf }: Named): Observed => ({
    traced,
    system,
    seen: (move) => {
      const name = nameOf(move);
      return name !== undefined && open.has(name) ? name : undefined;
    },
  });
  return [observe(a), observe(b)];
}

function nameMoves(traced: TracedAutomaton, isCancelled?: () => boolean): Named | undefined {
  const { automaton } = traced;
  const system = systemOf(automaton, { mostStates: MOST_STATES, ...(isCancelled && { isCancelled }) });
  if (!system) return undefined;
  const edges = observeEdges(traced);
  const endsRun = ({ next }: Move) => automaton.locations[locationOf(next)]?.kind === "end";
  return {
    traced,
    system,
    nameOf: (move) => (endsRun(move) ? "the run ends" : edges[move.edge]?.name),
    isOpen: (move) => endsRun(move) || move.resets.length > 0 || edges[move.edge]?.isPlain === true,
  };
}

function openNames({ system, nameOf, isOpen }: Named): string[] {
  return system.graph.meanings.flatMap(({ move }) => {
    const name = move && isOpen(move) ? nameOf(move) : undefined;
    return name === undefined ? [] : [name];
  });
}

interface ObservedEdge {
  readonly name: string;
  /** What everybody sees: a step that somebody begins, an event, an answer. Waiting for a timer is no deed. */
  readonly isPlain: boolean;
}

function observeEdges({ automaton }: TracedAutomaton): ObservedEdge[] {
  return automaton.edges.map((edge) => {
    const { kind, step, reaches } = edge;
    const event = kind === "event" || kind === "answer" ? eventLike(edge) : undefined;
    if (event) return { name: keyOfEvent(event), isPlain: true };
    const isSeen = kind === "start" && step?.kind !== "wait-for" && step?.kind !== "end-stage";
    const what = step ? keyOfDeed(step) : reaches && `${reaches.timer} ${reaches.seconds}`;
    return { name: `${kind} ${what}`, isPlain: isSeen };
  });
}
