import { secondsText } from "../quantity/index.ts";
import type { RunEvent } from "../rule-file/generated/rule-file.ts";
import type { AutomatonEvent, AutomatonStep, Edge } from "./automaton.ts";

/** The event that an edge stands for; undefined for what happens by itself. */
export function eventOf(edge: Edge): RunEvent | undefined {
  return edge.due ? undefined : eventLike(edge);
}

/** The same also for an edge that comes by itself when it is due. */
export function eventLike({ kind, step, event, answer, cuff }: Edge): RunEvent | undefined {
  switch (kind) {
    case "start":
    case "end":
      return step && { kind, step };
    case "event":
      return event && { kind, event };
    case "answer":
      return step && answer && { kind, step, answer };
    case "leak":
      return cuff === undefined ? undefined : { kind, cuff };
    case "reaches":
    case "return":
    case "pass":
    case "finish":
      return undefined;
  }
}

/** Whether what somebody made up is an event of the vocabulary, well enough to be told in words. */
export function isEvent(value: unknown): value is RunEvent {
  if (!isRecord(value)) return false;
  const { kind, step, event, answer, cuff } = value;
  switch (kind) {
    case "start":
    case "end":
      return isStep(step);
    case "event":
      return isRecord(event) && typeof event.name === "string" && isTextOrMissing(event.cuff);
    case "answer":
      return isStep(step) && (answer === "yes" || answer === "no");
    case "leak":
      return typeof cuff === "string";
  }
  return false;
}

const NUMBERS = new Set(["times", "for", "shortest", "longest"]);

function isStep(value: unknown): boolean {
  return (
    isRecord(value) &&
    typeof value.kind === "string" &&
    Object.entries(value).every(([name, member]) =>
      NUMBERS.has(name) && member !== undefined
        ? Number.isSafeInteger(member) && (member as number) >= 0
        : isTextOrMissing(member),
    )
  );
}

function isRecord(value: unknown): value is Readonly<Record<string, unknown>> {
  return typeof value === "object" && value !== null;
}

function isTextOrMissing(value: unknown): boolean {
  return value === undefined || typeof value === "string";
}

/** What tells an event from all others, whatever the order of its members. */
export function keyOfEvent(event: object): string {
  return keyOf(event);
}

export function keyOfStep(step: AutomatonStep): string {
  return keyOf(step);
}

/** No event goes deeper than its step or what happens; what somebody made up may. */
const DEEPEST = 3;

function keyOf(data: unknown, depth = 0): string {
  if (typeof data !== "object" || data === null) return JSON.stringify(data) ?? "";
  if (depth === DEEPEST) return "{}";
  const members = Object.entries(data).filter(([, value]) => value !== undefined);
  return `{${members.map(([name, value]) => `${name}:${keyOf(value, depth + 1)}`).sort()}}`;
}

/** Whether an edge is what somebody says that happens. */
export function isOf(edge: Edge, event: RunEvent): boolean {
  const own = edge.kind === event.kind ? eventLike(edge) : undefined;
  return own !== undefined && keyOf(own) === keyOf(event);
}

/** An event for a reader: the step, what happens, the answer, in the words of the language. */
export function wordsOfEvent(event: RunEvent): string {
  switch (event.kind) {
    case "start":
    case "end":
      return wordsOfStep(event.step);
    case "event":
      return wordsOfHappening(event.event);
    case "answer":
      return wordsOfAnswer(event.step, event.answer);
    case "leak":
      return wordsOfLeak(event.cuff);
  }
}

/** A step for a reader, in the words of the language: "deflate all for 10 s". */
export function wordsOfStep(step: AutomatonStep): string {
  const { kind, method, cuff, dose, timer, stage, emergency, routine, topic, text, question, times } = step;
  const words = [
    kind.replaceAll("-", " "),
    method && `by ${method}`,
    ...[cuff, dose, timer, stage, emergency, routine, topic],
    step.as && `as ${step.as}`,
    text !== undefined && `"${text}"`,
    question !== undefined && `"${question}"`,
    times !== undefined && `${times} times`,
    step.for !== undefined && `for ${secondsText(step.for)}`,
    step.forEmergency && "for emergency",
    step.shortest !== undefined && lastingWords(step.shortest, step.longest),
  ];
  return words.filter((word) => word !== undefined && word !== false).join(" ");
}

/** "5 min", "90 s to 3 min", "5 min or more". */
export function lastingWords(shortest: number, longest: number | undefined): string {
  if (longest === undefined) return `${secondsText(shortest)} or more`;
  return longest === shortest ? secondsText(shortest) : `${secondsText(shortest)} to ${secondsText(longest)}`;
}

/** "tourniquet-pain", "cuff-leak of distal". */
export function wordsOfHappening({ name, cuff }: AutomatonEvent): string {
  return cuff === undefined ? name : `${name} of ${cuff}`;
}

/** "Is the block complete?: no", "confirm distal: no". */
export function wordsOfAnswer(step: AutomatonStep, answer: "yes" | "no"): string {
  return `${step.question ?? wordsOfStep(step)}: ${answer}`;
}

export function wordsOfLeak(cuff: string): string {
  return `${cuff === EVERY_CUFF ? "every cuff" : cuff} loses pressure`;
}

/** In place of the name of one cuff; no cuff can be called so. */
export const EVERY_CUFF = "all";
