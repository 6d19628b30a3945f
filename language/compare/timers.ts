import type { Timer } from "../model/index.ts";
import { momentName } from "../runs/index.ts";
import { limitChange } from "./limits.ts";
import { partedByKey } from "./parted.ts";
import { bothSides, type FoundChange, type Sides } from "./side.ts";

/** What the protocol claims of its timers: their beginning, the least and the most. */
export function timerChanges({ before, now }: Sides): FoundChange[] {
  const { pairs, gone, added } = partedByKey(before.timers, now.timers, ({ name }) => name);
  return [
    ...pairs.flatMap(([old, recent]) => changedTimer(old, recent)),
    ...gone.map(
      (timer): FoundChange => ({
        kind: "looser",
        about: aboutTimer(timer),
        what: `The timer \`${timer.name}\` is no longer there; nothing asks for its times.`,
        ...bothSides(timer, undefined, told),
        evidence: [{ kind: "value", side: "looser", says: `Any time of \`${timer.name}\` passes now.` }],
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

function aboutTimer({ name }: Timer): string {
  return `timer \`${name}\``;
}

function told({ name, from }: Timer): string {
  return from ? `${name} from ${momentName(from)}` : name;
}

function changedTimer(before: Timer, now: Timer): FoundChange[] {
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
  return [
    ...moved,
    ...limitChange(
      { about, name: `The least time of \`${now.name}\``, tighter: "higher" },
      before.atLeast,
      now.atLeast,
    ),
    ...limitChange(
      { about, name: `The longest time of \`${now.name}\``, tighter: "lower" },
      before.atMost,
      now.atMost,
    ),
  ];
}
