import type { RunEvent } from "../rule-file/generated/rule-file.ts";
import type { Edge, EdgeKind } from "./automaton.ts";

/** How the edges of an automaton name something that can happen. */
export interface Naming {
  readonly kind: EdgeKind;
  readonly says: string;
}

export function namingOf(event: RunEvent): Naming {
  switch (event.kind) {
    case "start":
    case "end":
      return { kind: event.kind, says: event.step };
    case "event":
      return { kind: "event", says: event.event };
    case "answer":
      return { kind: "answer", says: answerWords(event.question, event.answer) };
    case "leak":
      return { kind: "leak", says: leakWords(event.cuff) };
  }
}

/** The event that an edge stands for; undefined for what happens by itself. */
export function eventOf({ kind, says, due }: Pick<Edge, "kind" | "says" | "due">): RunEvent | undefined {
  switch (kind) {
    case "start":
    case "end":
      return due ? undefined : { kind, step: says };
    case "event":
      return due ? undefined : { kind, event: says };
    case "answer":
      return answerOf(says);
    case "leak":
      return { kind, cuff: says.slice(0, -leakWords("").length) };
    default:
      return undefined;
  }
}

/** An answer in the words of an automaton: "Is the block complete?: no". */
export function answerWords(question: string, answer: "yes" | "no"): string {
  return `${question}: ${answer}`;
}

/** A leak in the words of an automaton. */
export function leakWords(cuff: string): string {
  return `${cuff} loses pressure`;
}

function answerOf(says: string): RunEvent {
  const answer = says.endsWith(answerWords("", "yes")) ? "yes" : "no";
  return { kind: "answer", question: says.slice(0, -answerWords("", answer).length), answer };
}
