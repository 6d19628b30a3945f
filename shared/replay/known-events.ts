import type { RuleFile, RunEvent } from "../rule-file/generated/rule-file.ts";
import { eventOf, namingOf } from "../runtime/index.ts";

/** Something that a case record tells, in the vocabulary of rule files; `finish` is said where a record says that the case is over. */
export interface ToldEvent {
  readonly kind: RunEvent["kind"] | "finish";
  /** The step, event or answer, in the words of the protocol. */
  readonly says: string;
  /** Whether the protocol has it at all. */
  readonly isKnown: boolean;
}

/** What is told, when and in which line. */
export interface Told {
  readonly event: ToldEvent;
  readonly at: number;
  readonly line: number;
}

export const FINISH: ToldEvent = { kind: "finish", says: "the end of the case", isKnown: true };

/** The events that a protocol knows, each one value however often it is told, so that ways can be looked up by it. */
export class KnownEvents {
  readonly #exact = new Map<string, ToldEvent>();
  readonly #plain = new Map<string, ToldEvent>();

  constructor({ runs }: RuleFile) {
    const edges = runs.kind === "explored" ? runs.automaton.edges : [];
    for (const edge of edges) {
      const event = eventOf({ ...edge, ...(edge.kind === "event" && { due: false as unknown as true }) });
      if (event) this.#know(event);
    }
  }

  /** What is told by a kind and its words; upper case and spaces make no difference. */
  find(kind: RunEvent["kind"], says: string): ToldEvent {
    const key = `${kind} ${says}`;
    const known = this.#exact.get(key) ?? this.#plain.get(plain(key));
    return known ?? { kind, says: says.trim().replace(/\s+/g, " "), isKnown: false };
  }

  knows(kind: string, says: string): boolean {
    return this.#exact.has(`${kind} ${says}`);
  }

  #know(event: RunEvent): void {
    const { kind, says } = namingOf(event) as Pick<ToldEvent, "kind" | "says">;
    const key = `${kind} ${says}`;
    if (this.#exact.has(key)) return;
    const told = { kind, says, isKnown: true };
    this.#exact.set(key, told);
    this.#plain.set(plain(key), told);
  }
}

function plain(key: string): string {
  return key.trim().toLowerCase().replace(/\s+/g, " ");
}
