import type { Timer } from "../model/index.ts";
import { momentName, type Runs } from "../runs/index.ts";
import type { ChangeEvidence } from "./change.ts";
import { type Bound, limitChange } from "./limits.ts";
import { partedByKey } from "./parted.ts";
import { type Both, bothSides, type FoundChange, type Sides } from "./side.ts";
import { type TimerBoundName, timerWitness } from "./timer-witness.ts";

/** What the protocol claims of its timers: their beginning, the least and the most. */
export function timerChanges({ before, now }: Sides, runs: Both<Runs>): FoundChange[] {
  const { pairs, gone, added } = partedByKey(before.timers, now.timers, ({ name }) => name);
  return [
    ...pairs.flatMap(([old, recent]) => changedTimer(old, recent, runs)),
    ...gone.map(
      (timer): FoundChange => ({
        kind: "looser",
        about: aboutTimer(timer),
        what: `The timer \`${timer.name}\` is no longer there; nothing asks for its times.`,
        ...bothSides(timer, undefined, told),
        evidence: goneEvidence(timer, runs),
      }),
    ),
    ...added.map(
      (timer): FoundChange => ({
        kind: "tighter",
        about: aboutTimer(timer),
        what: `The timer \`${timer.name}\` is new.`,
        ...bothSides(undefined, timer, told),
      }),
    ),
  ];
}

function goneEvidence(timer: Timer, runs: Both<Runs>): ChangeEvidence[] {
  const bounds = BOUNDS.filter((bound) => timer[bound] !== undefined);
  if (bounds.length > 0) return bounds.map((bound) => timerWitness(bound, timer, undefined, runs));
  return [{ kind: "value", side: "looser", says: `Any time of \`${timer.name}\` passes now.` }];
}

const BOUNDS = ["atLeast", "atMost"] as const;

function aboutTimer({ name }: Timer): string {
  return `timer \`${name}\``;
}

function told({ name, from }: Timer): string {
  return from ? `${name} from ${momentName(from)}` : name;
}

function changedTimer(before: Timer, now: Timer, runs: Both<Runs>): FoundChange[] {
  const about = aboutTimer(now);
  const from = (timer: Timer) => (timer.from ? momentName(timer.from) : "nothing");
  const moved: FoundChange[] =
    from(before) === from(now)
      ? []
      : [
          {
            kind: "different",
            about,
            what: `\`${now.name}\` counts from the ${from(now)} now; before, from the ${from(before)}.`,
            ...bothSides(before, now, told),
            isOfFirstNumber: true,
          },
        ];
  const changeOf = (bound: TimerBoundName, of: Bound) =>
    limitChange(of, before[bound], now[bound]).map((found) =>
      found.kind === "looser" ? { ...found, evidence: [timerWitness(bound, before, now, runs)] } : found,
    );
  return [
    ...moved,
    ...changeOf("atLeast", { about, name: `The least time of \`${now.name}\``, tighter: "higher" }),
    ...changeOf("atMost", { about, name: `The longest time of \`${now.name}\``, tighter: "lower" }),
  ];
}
