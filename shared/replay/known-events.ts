import type { RuleFile, RunEvent } from "../rule-file/generated/rule-file.ts";
import {
  type Automaton,
  type AutomatonStep,
  eventLike,
  isEvent,
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
  return edges.map(eventLike).map((event) => (event ? keyOf(event) : ""));
}

/** A record tells an answer in words: a question that is asked in those of a `confirm` is one with it to whoever reads. */
function keyOf(event: RunEvent): string {
  if (event.kind === "answer") return wordsOfEvent(event);
  return "step" in event ? keyOfStep(event.step) : keyOfEvent(event);
}

/** The events that a protocol knows, each one value however often it is told, so that ways can be looked up by it. */
export class KnownEvents {
  readonly #exact = new Map<string, ToldEvent>();
  readonly #plain = new Map<string, ToldEvent>();
  readonly #byData = new Map<string, ToldEvent>();

  constructor({ runs }: RuleFile) {
    const edges = runs.kind === "explored" ? runs.automaton.edges : [];
    for (const edge of edges) {
      const event = edge.due && edge.kind !== "event" ? undefined : eventLike(edge);
      if (event) this.#know(event);
    }
  }

  /** What is told by a kind and its words; upper case and spaces make no difference. */
  find(kind: RunEvent["kind"], says: string): ToldEvent {
    const words = `${kind} ${says}`;
    return this.#exact.get(words) ?? this.#plain.get(plain(words)) ?? unknown(kind, says);
  }

  /** An event that is given as data, which keeps what it is where the protocol does not have it; undefined where it is none. */
  findWhole(event: object): ToldEvent | undefined {
    return isEvent(event) ? (this.#byData.get(keyOfEvent(event)) ?? told(event, false)) : undefined;
  }

  #know(event: RunEvent): void {
    const known = told(event, true);
    const words = `${known.kind} ${known.says}`;
    const first = this.#exact.get(words);
    if (!first) this.#exact.set(words, known);
    this.#plain.set(plain(words), first ?? known);
    this.#byData.set(keyOfEvent(event), first?.key === known.key ? first : known);
  }
}

function told(event: RunEvent, isKnown: boolean): ToldEvent {
  const { kind } = event;
  const step = kind === "start" || kind === "end" ? event.step : undefined;
  return { kind, key: keyOf(event), says: wordsOfEvent(event), isKnown, ...(step && { step }) };
}

/** What no protocol knows has nothing but its words; but that cuffs are let down is seen from these, too. */
function unknown(kind: RunEvent["kind"], written: string): ToldEvent {
  const says = written.trim().replace(/\s+/g, " ");
  const isDeflation = kind === "start" && /^deflate\b/.test(says);
  return { kind, key: `? ${says}`, says, isKnown: false, ...(isDeflation && { step: { kind: "deflate" } }) };
}

/** Words as they are held against one another: without capitals, with single blanks. */
export function plain(words: string): string {
  return words.trim().toLowerCase().replace(/\s+/g, " ");
}
