import { clockText, secondsText } from "@limbwright/shared/quantity";
import type { Moment } from "../model/index.ts";
import type { Follower, Trail } from "./trail.ts";

/** Where a scenario has come to. Times count in seconds from the beginning of the case. */
export interface Instant {
  readonly trail: Trail;
  /** The time at which the next line is judged; time may have passed since the last thing happened. */
  readonly now: number;
  readonly since: Since;
}

/** How far a line has led; `limit` says why it could not be done. */
export interface Reached {
  readonly instant: Instant;
  readonly limit?: string;
}

/** What `after` counts from: the last `run to`, or the beginning. */
export interface Since {
  readonly at: number;
  /** "the end of `local`". */
  readonly words: string;
}

export const BEGINNING: Since = { at: 0, words: "the beginning" };

/** A moment in words: "the end of `local`". */
export function momentWords(moment: Moment): string {
  switch (moment.kind) {
    case "first-inflation":
      return "the first inflation";
    case "release":
      return "the release";
    case "start":
    case "end":
      return `the ${moment.kind} of \`${moment.target}\``;
  }
}

/** "12 min after the end of `local` (14:30)". */
export function whenText(at: number, since: Since): string {
  return `${afterText(at - since.at, since)} (${clockText(at)})`;
}

/** "12 min after the end of `local`", "at the end of `local`". */
export function afterText(seconds: number, { words }: Since): string {
  return seconds === 0 ? `at ${words}` : `${secondsText(seconds)} after ${words}`;
}

/**
 * Why the protocol has no run that is where a case is at a time: something should have been over, or should have started, before;
 * undefined where it has one.
 */
export function overdueWords(follower: Follower, { trail, now }: Instant): string | undefined {
  const since = overdueSince(follower, trail, now);
  if (since === undefined) return undefined;
  const here = `No run of the protocol is here at ${clockText(now)}: from ${clockText(since)} on it does not go on by itself.`;
  return `${here} ${waitingWords(follower, trail)}`;
}

function overdueSince(follower: Follower, trail: Trail, now: number): number | undefined {
  if (trail.case.isOver) return undefined;
  if (follower.isBetweenSteps(trail)) return now > trail.case.at ? trail.case.at : undefined;
  return trail.case.due(now).overdue[0]?.since;
}

/** Why a case does not go on by itself. */
export function waitingWords(follower: Follower, trail: Trail): string {
  const { case: now } = trail;
  const next = follower.next(trail);
  if (next.kind === "waits" && next.stoppedBy) return next.stoppedBy.words;
  const time = clockText(now.at);
  if (now.isOver) return `The protocol ends at ${time}.`;
  const { inHand, step, next: possible } = now.due(now.at);
  const [asked] = possible.flatMap(({ event }) => (event.kind === "answer" ? [event.step.question] : []));
  if (inHand === undefined && asked !== undefined) {
    return `\`${asked}\` is asked at ${time}, and no time passes before it is answered: write \`answer "${asked}" yes\` or \`no\` before this line, without \`after\`.`;
  }
  if (step?.kind !== "task") return `Nothing goes on from ${time} on${inHand ? `, in \`${inHand}\`` : ""}.`;
  return `\`${inHand}\` is in hand at ${time}, and ends only when the scenario says so: write \`${inHand} ends\` before this line.`;
}
