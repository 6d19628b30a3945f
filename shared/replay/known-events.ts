import type { RuleFile, RunEvent } from "../rule-file/generated/rule-file.ts";
import {
  type Automaton,
  type AutomatonStep,
  type Edge,
  eventLike,
  keyOfEvent,
  keyOfStep,
  wordsOfEvent,
} from "../runtime/index.ts";

/** A step, an event or an answer: what tells it from others, and its words for a reader. */
export interface Named {
  readonly key: string;
  readonly says: string;
}

/** Something that a case record tells; `finish` is said where a record says that the case is over. */
export interface ToldEvent extends Named {
  readonly kind: RunEvent["kind"] | "finish";
  /** The step that starts or ends. */
  readonly step?: AutomatonStep;
  /** Whether the protocol has it at all. */
  readonly isKnown: boolean;
}

/** What is told, when and in which line. */
export interface Told {
  readonly event: ToldEvent;
  readonly at: number;
  readonly line: number;
}

export const FINISH: ToldEvent = { kind: "finish", key: "", says: "the end of the case", isKnown: true };

/** What tells the events of edges apart, by the number of the edge. The start and the end of one step are told by the same. */
export function keysOfEdges({ edges }: Automaton): string[] {
  return edges.map(keyOfEdge);
}

function keyOfEdge(edge: Edge): string {
  const event = eventLike(edge);
  return event ? keyOf(event) : "";
}

function keyOf(event: RunEvent): string {
  return "step" in event && event.kind !== "answer" ? keyOfStep(event.step) : keyOfEvent(event);
}

/** The events that a protocol knows, each one value however often it is told, so that ways can be looked up by it. */
export class KnownEvents {
  readonly #exact = new Map<string, ToldEvent>();
  readonly #plain = new Map<string, ToldEvent>();
  /** The words of each event by its data. */
  readonly #words = new Map<string, string>();

  constructor({ runs }: RuleFile) {
    const edges = runs.kind === "explored" ? runs.automaton.edges : [];
    for (const edge of edges) {
      const event = edge.due && edge.kind !== "event" ? undefined : eventLike(edge);
      if (event) this.#know(event);
    }
  }

  /** What is told by a kind and its words; upper case and spaces make no difference. */
  find(kind: RunEvent["kind"], says: string): ToldEvent {
    const told = `${kind} ${says}`;
    return this.#exact.get(told) ?? this.#plain.get(plain(told)) ?? unknown(kind, says);
  }

  /** The words by which a record tells an event that is given as data. */
  wordsOf(event: object): string {
    return this.#words.get(keyOfEvent(event)) ?? "an event that is not known";
  }

  #know(event: RunEvent): void {
    const { kind } = event;
    const says = wordsOfEvent(event);
    this.#words.set(keyOfEvent(event), event.kind === "leak" ? event.cuff : says);
    const words = `${kind} ${says}`;
    if (this.#exact.has(words)) return;
    const step = kind === "start" || kind === "end" ? event.step : undefined;
    const told = { kind, key: keyOf(event), says, isKnown: true, ...(step && { step }) };
    this.#exact.set(words, told);
    this.#plain.set(plain(words), told);
  }
}

/** What no protocol knows has nothing but its words; but that cuffs are let down is seen from these, too. */
function unknown(kind: RunEvent["kind"], written: string): ToldEvent {
  const says = written.trim().replace(/\s+/g, " ");
  const isDeflation = kind === "start" && /^deflate\b/.test(says);
  return { kind, key: `? ${says}`, says, isKnown: false, ...(isDeflation && { step: { kind: "deflate" } }) };
}

function plain(told: string): string {
  return told.trim().toLowerCase().replace(/\s+/g, " ");
}
