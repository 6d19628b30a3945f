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
import { isAt, type PlainBytes, plainBytes } from "./bytes.ts";

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
  /** Its place among the events of the protocol; UNKNOWN where the protocol knows no such event. */
  readonly number: number;
}

/** What is told, when and in which line. */
export interface Told {
  readonly event: ToldEvent;
  readonly at: number;
  readonly line: number;
}

export const UNKNOWN = -1;

export const FINISH: ToldEvent = { kind: "finish", key: "", says: "the end of the case", number: 0 };

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

/** The events that a protocol knows, each one value however often it is told: a record of a million events makes no new ones. */
export class KnownEvents {
  readonly #exact = new Map<string, Map<string, ToldEvent>>();
  readonly #plain = new Map<string, ToldEvent>();
  /** The words of each event by its data. */
  readonly #words = new Map<string, string>();
  /** By their numbers. */
  readonly #all: ToldEvent[] = [FINISH];
  /** How the end of a row tells each, by their numbers. */
  readonly #written: (PlainBytes | undefined)[] = [plainBytes("finish,\n")];
  /** What came after each event when it was told last, what came before that was another, and the event that was told last. */
  readonly #next: ToldEvent[] = [];
  readonly #other: ToldEvent[] = [];
  #last = FINISH.number;

  constructor({ runs }: RuleFile) {
    const edges = runs.kind === "explored" ? runs.automaton.edges : [];
    for (const edge of edges) {
      const event = edge.due && edge.kind !== "event" ? undefined : eventLike(edge);
      if (event) this.#know(event);
    }
  }

  /** What is told by a kind and its words; upper case and spaces make no difference. */
  find(kind: RunEvent["kind"], says: string): ToldEvent {
    const event = this.#lookedUp(kind, says);
    if (event.number !== UNKNOWN) this.follows(event);
    return event;
  }

  /** Keeps in mind that an event comes after the one before. */
  follows(event: ToldEvent): void {
    const next = this.#next[this.#last];
    if (next !== event) {
      if (next) this.#other[this.#last] = next;
      this.#next[this.#last] = event;
    }
    this.#last = event.number;
  }

  /** One of the two events that came last after the one before, if the row of a table tells it from a place to its end. */
  likelyAt(piece: DataView, at: number): ToldEvent | undefined {
    const likely =
      this.#ifTold(this.#next[this.#last], piece, at) ?? this.#ifTold(this.#other[this.#last], piece, at);
    if (likely) this.#last = likely.number;
    return likely;
  }

  #ifTold(event: ToldEvent | undefined, piece: DataView, at: number): ToldEvent | undefined {
    const written = event && this.#written[event.number];
    return written && isAt(piece, at, written) ? event : undefined;
  }

  /** How long the rest of a row is that tells an event. */
  lengthOf({ number }: ToldEvent): number {
    return this.#written[number]?.length ?? 0;
  }

  #lookedUp(kind: RunEvent["kind"], says: string): ToldEvent {
    return (
      this.#exact.get(kind)?.get(says) ??
      this.#plain.get(plain(kind, says)) ??
      unknown(kind, says.trim().replace(/\s+/g, " "))
    );
  }

  /** The event of a number that is known. */
  of(number: number): ToldEvent {
    const event = this.#all[number];
    if (!event) throw new Error(`there is no event ${number}`);
    return event;
  }

  /** The words by which a record tells an event that is given as data. */
  wordsOf(event: object): string {
    return this.#words.get(keyOfEvent(event)) ?? "an event that is not known";
  }

  #know(event: RunEvent): void {
    const { kind } = event;
    const says = wordsOfEvent(event);
    this.#words.set(keyOfEvent(event), event.kind === "leak" ? event.cuff : says);
    const ofKind = this.#exact.get(kind) ?? new Map<string, ToldEvent>();
    this.#exact.set(kind, ofKind);
    if (ofKind.has(says)) return;
    const step = kind === "start" || kind === "end" ? event.step : undefined;
    const told = { kind, key: keyOf(event), says, number: this.#all.length, ...(step && { step }) };
    this.#all.push(told);
    this.#written.push(plainBytes(`${kind},${inTable(event.kind === "leak" ? event.cuff : says)}\n`));
    ofKind.set(says, told);
    this.#plain.set(plain(kind, says), told);
  }
}

/** What no protocol knows has nothing but its words; but that cuffs are let down is seen from these, too. */
function unknown(kind: RunEvent["kind"], says: string): ToldEvent {
  const isDeflation = kind === "start" && /^deflate\b/.test(says);
  return { kind, key: `? ${says}`, says, number: UNKNOWN, ...(isDeflation && { step: { kind: "deflate" } }) };
}

/** A value as a table writes it. */
function inTable(value: string): string {
  return /[",]/.test(value) ? `"${value.replaceAll('"', '""')}"` : value;
}

function plain(kind: string, says: string): string {
  return `${kind} ${says.trim().toLowerCase().replace(/\s+/g, " ")}`;
}
