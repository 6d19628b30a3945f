import { clockText } from "../quantity/index.ts";
import type { RunEvent } from "../rule-file/generated/rule-file.ts";
import type { BrokenRule } from "./broken.ts";
import { isEvent, wordsOfEvent } from "./events.ts";

/** Why something that was offered is not what the protocol provides for now. */
export type Because =
  /** It would break rules. */
  | "breaks-a-rule"
  /** What it ends, or what it follows, has not lasted long enough. */
  | "too-early"
  /** Something else comes first. */
  | "not-next"
  /** Nothing answers that event or question here. */
  | "not-provided-for"
  /** It strikes a step, and none is in hand: the one before has ended, the next has not been said to start. */
  | "between-steps"
  /** It is said to have been before something that was said already. */
  | "in-the-past"
  /** The run is over. */
  | "over";

export interface Refusal {
  readonly because: Because;
  /** The rules that it would break. */
  readonly rules: readonly BrokenRule[];
  /** The time from which it is allowed, as long as nothing else happens; missing where waiting does not help. */
  readonly from?: number;
  /** The same for a reader. */
  readonly words: string;
}

/** Where the run stands. */
interface Situation {
  /** The step in hand; missing between two steps. */
  readonly inHand?: string;
  /** What can come between two steps. */
  readonly next: readonly string[];
  /** When the last thing happened. */
  readonly at: number;
}

/** A refusal for a reader: what, why, and from when it is allowed. */
export function wordsOfRefusal(
  event: RunEvent,
  at: number,
  { because, rules, from }: Omit<Refusal, "words">,
  { inHand, next, at: last }: Situation,
): string {
  const says = isEvent(event) ? wordsOfEvent(event) : "something that is no event";
  const what = event.kind === "end" ? `The end of \`${says}\`` : `\`${says}\``;
  const comes =
    inHand === undefined
      ? `Next is ${next.map((one) => `\`${one}\``).join(" or ")}.`
      : `\`${inHand}\` is in hand.`;
  switch (because) {
    case "breaks-a-rule": {
      const names = [...new Set(rules.map(({ rule }) => `\`${rule}\``))].join(", ");
      return `${what} at ${clockText(at)} would break ${names}. ${fromText(from)}`;
    }
    case "too-early":
      return `${what} comes too early at ${clockText(at)}: ${comes} ${fromText(from)}`;
    case "not-next":
      return `${what} is not what comes next. ${comes}`;
    case "not-provided-for":
      return `The protocol provides for no \`${says}\` here. ${comes}`;
    case "between-steps":
      return `\`${says}\` strikes a step, and none is in hand. ${comes} Say first which step has started.`;
    case "in-the-past":
      return `${what} at ${clockText(at)} is before what was said last, at ${clockText(last)}.`;
    case "over":
      return `${what} comes after the end of the protocol.`;
  }
}

function fromText(from: number | undefined): string {
  return from === undefined ? "Waiting does not change that." : `It is allowed from ${clockText(from)}.`;
}
