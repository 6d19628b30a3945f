import { clockText, secondsText } from "@limbwright/shared/quantity";
import {
  type Automaton,
  type Case,
  locationOf,
  type Machine,
  machineOf,
  type Refusal,
  type Standing,
  standingAfter,
} from "@limbwright/shared/runtime";
import type { Moment } from "../model/index.ts";
import { type RunStep, runTeller } from "../runs/index.ts";
import type { Rehearsal } from "./rehearsal.ts";

/** A case with all that happened in it, told step by step. */
export interface Trail {
  readonly case: Case;
  readonly standing: Standing;
  /** One for each happening in the history of the case. */
  readonly steps: readonly RunStep[];
}

/** What a case comes to by itself: the next thing that happens, or nothing, because of a rule that it would break. */
export type Next =
  | { readonly kind: "happens"; readonly trail: Trail }
  | { readonly kind: "waits"; readonly stoppedBy?: Refusal };

/** Follows cases of one protocol along its automaton. Each step takes its shortest time. */
export class Follower {
  readonly #automaton: Automaton;
  readonly #machine: Machine;
  readonly #told: ReturnType<typeof runTeller>;

  constructor({ traced }: Rehearsal) {
    this.#automaton = traced.automaton;
    this.#machine = machineOf(traced.automaton);
    this.#told = runTeller(traced);
  }

  begin(started: Case): Trail {
    return this.on({ case: started, standing: this.#machine.start(), steps: [] }, started);
  }

  /** The trail on to a later case of the same run. */
  on(trail: Trail, later: Case): Trail {
    const steps = [...trail.steps];
    let { standing } = trail;
    for (const { edge, at, breaks } of later.history.slice(steps.length)) {
      const move = this.#machine.movesAt(standing).moves.find((one) => one.edge === edge);
      if (!move) throw new Error(`the runtime took edge ${edge}, which the automaton does not have there`);
      const next = standingAfter(standing, move, at);
      const step = this.#told(edge, standing, next);
      const broken = [...new Set(breaks.map(({ rule }) => `breaks ${rule}`))];
      steps.push({ ...step, isKey: step.isKey || broken.length > 0, changes: [...step.changes, ...broken] });
      standing = next;
    }
    return { case: later, standing, steps };
  }

  /**
   * The next thing that happens by itself before a time. The runtime lets a timer run on while a question is not
   * answered, as it does in a room; in a run of the protocol no time passes between two steps.
   */
  next(trail: Trail, before = Number.POSITIVE_INFINITY): Next {
    const { case: later, happenings, stoppedBy } = trail.case.advance(before, ONE_THING);
    if (happenings.length === 0 || (this.isBetweenSteps(trail) && later.at > trail.case.at)) {
      return { kind: "waits", ...(stoppedBy && { stoppedBy }) };
    }
    return { kind: "happens", trail: this.on(trail, later) };
  }

  /** The trail with all that happens by itself before a time. */
  until(trail: Trail, time: number): Trail {
    let now = trail;
    for (;;) {
      const next = this.next(now, time);
      if (next.kind === "waits") return now;
      now = next.trail;
    }
  }

  isBetweenSteps({ standing }: Trail): boolean {
    return this.#automaton.locations[locationOf(standing.state)]?.kind === "before";
  }
}

const ONE_THING = { pace: "shortest", until: () => true } as const;

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
