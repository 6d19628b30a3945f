import type { RuleFile, RunEvent } from "../rule-file/generated/rule-file.ts";
import { eventOf, namingOf } from "../runtime/index.ts";
import { isAt, type PlainBytes, plainBytes } from "./bytes.ts";

/** Something that a case record tells, in the vocabulary of rule files; `finish` is said where a record says that the case is over. */
export interface ToldEvent {
  readonly kind: RunEvent["kind"] | "finish";
  /** The step, event or answer, in the words of the protocol. */
  readonly says: string;
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

export const FINISH: ToldEvent = { kind: "finish", says: "the end of the case", number: 0 };

/** The events that a protocol knows, each one value however often it is told: a record of a million events makes no new ones. */
export class KnownEvents {
  readonly #exact = new Map<string, Map<string, ToldEvent>>();
  readonly #plain = new Map<string, ToldEvent>();
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
      const event = eventOf({ ...edge, ...(edge.kind === "event" && { due: false as unknown as true }) });
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
      this.#plain.get(plain(kind, says)) ?? { kind, says: says.trim().replace(/\s+/g, " "), number: UNKNOWN }
    );
  }

  /** The event of a number that is known. */
  of(number: number): ToldEvent {
    const event = this.#all[number];
    if (!event) throw new Error(`there is no event ${number}`);
    return event;
  }

  knows(kind: string, says: string): boolean {
    return this.#exact.get(kind)?.has(says) ?? false;
  }

  #know(event: RunEvent): void {
    const { kind, says } = namingOf(event) as Pick<ToldEvent, "kind" | "says">;
    const ofKind = this.#exact.get(kind) ?? new Map<string, ToldEvent>();
    this.#exact.set(kind, ofKind);
    if (ofKind.has(says)) return;
    const told = { kind, says, number: this.#all.length };
    this.#all.push(told);
    this.#written.push(plainBytes(`${kind},${inTable(event.kind === "leak" ? event.cuff : says)}\n`));
    ofKind.set(says, told);
    this.#plain.set(plain(kind, says), told);
  }
}

/** A value as a table writes it. */
function inTable(value: string): string {
  return /[",]/.test(value) ? `"${value.replaceAll('"', '""')}"` : value;
}

function plain(kind: string, says: string): string {
  return `${kind} ${says.trim().toLowerCase().replace(/\s+/g, " ")}`;
}
