import {
  durationText,
  fromBase,
  greater,
  inBase,
  lesser,
  quantityText,
  type Rational,
} from "@limbwright/shared/quantity";
import type { Moment, Protocol, Step, Timer } from "../../model/index.ts";
import { allHandlers } from "../../model/index.ts";
import { rule as earlyRelease } from "../../rules/early-release/rule.ts";
import type { ProtocolJudgement } from "../../rules/judge.ts";
import { longestOcclusion, rule as occlusionTooLong } from "../../rules/occlusion-too-long/rule.ts";
import { parametersFor } from "../../rules/parameters.ts";
import { momentName } from "../../runs/index.ts";
import { envelopeText } from "../findings/envelope-lines.ts";
import { itemsOf } from "./checklist.ts";
import type { SheetBound, SheetTimes } from "./sheet.ts";

/** The clock times of a run that are worked out and written down at the bedside. */
export function timesOf({ protocol, explored }: ProtocolJudgement): SheetTimes {
  const every = monitoringInterval(protocol);
  return {
    bounds: boundsOf(protocol),
    deflations: deflationsIn(protocol.steps ?? []),
    hasSwap: (protocol.cuffs?.cuffs.length ?? 0) > 1,
    ...(every !== undefined && { pressureEvery: every }),
    overAllRuns:
      envelopeText(explored.runs) ??
      "Not decided: how early and how late the release can come over all runs.",
  };
}

/** By the moment it counts from, how long at least and at most. */
type Limits = Map<string, { least?: Rational; most?: Rational }>;

/**
 * When the release may come, from each moment that something counts from: by the protocol's own timers and by the rules
 * that it is judged by, whichever is tighter.
 */
function boundsOf(protocol: Protocol): SheetBound[] {
  const limits: Limits = new Map();
  for (const timer of protocol.timers) addTimer(limits, timer, protocol);
  const least = parametersFor(earlyRelease, protocol.localRules)("minimum").value;
  const most = parametersFor(occlusionTooLong, protocol.localRules)(longestOcclusion(protocol)).value;
  add(limits, injectionEnd(protocol), { least });
  add(limits, FIRST_INFLATION, { most });
  const released = [...limits].filter(([from]) => from !== "release");
  return [
    ...released.flatMap(([from, { least: plus }]) =>
      plus ? [{ what: "earliest release" as const, from, plus: minutesText(plus) }] : [],
    ),
    ...released.flatMap(([from, { most: plus }]) =>
      plus ? [{ what: "latest release" as const, from, plus: minutesText(plus) }] : [],
    ),
    ...urgentBounds(protocol),
  ];
}

const FIRST_INFLATION = "first cuff up";

function addTimer(limits: Limits, { from, atLeast, atMost }: Timer, protocol: Protocol): void {
  if (!from) return;
  add(limits, momentText(from, protocol), {
    ...(atLeast && { least: inBase(atLeast) }),
    ...(atMost && { most: inBase(atMost) }),
  });
}

function add(limits: Limits, from: string, { least, most }: { least?: Rational; most?: Rational }): void {
  const known = limits.get(from) ?? {};
  const tightestLeast = known.least && least ? greater(known.least, least) : (known.least ?? least);
  const tightestMost = known.most && most ? lesser(known.most, most) : (known.most ?? most);
  limits.set(from, {
    ...(tightestLeast && { least: tightestLeast }),
    ...(tightestMost && { most: tightestMost }),
  });
}

function momentText(moment: Moment, protocol: Protocol): string {
  if (moment.kind === "first-inflation") return FIRST_INFLATION;
  const words = momentName(moment);
  return words === injectionEnd(protocol) ? injectionEnd(protocol) : words;
}

/** The moment that the minimum counts from: the end of the one injection, or of the last of several. */
function injectionEnd(protocol: Protocol): string {
  const names = protocol.doses.filter(({ emergency }) => emergency === undefined).map(({ name }) => name);
  return names.length === 1 ? `end of ${names[0]}` : "end of the last injection";
}

/** What has to be done as soon as a timer has reached a time. */
function urgentBounds(protocol: Protocol): SheetBound[] {
  return allHandlers(protocol).flatMap((handler): SheetBound[] => {
    if (handler.kind !== "reaches") return [];
    const timer = protocol.timers.find(({ name }) => name === handler.timer);
    if (!timer?.from) return [];
    const then = itemsOf(handler.steps, protocol).map(({ text }) => text);
    return [
      {
        what: "at the latest",
        step: then.join(", "),
        from: momentText(timer.from, protocol),
        plus: minutesText(inBase(handler.limit)),
      },
    ];
  });
}

/** A time to be added to one of a clock: in minutes, also over an hour. */
function minutesText(seconds: Rational): string {
  return seconds.div(60).d === 1n ? quantityText(fromBase(seconds, "min")) : durationText(seconds);
}

/** How often steps let every cuff down after the drug is in, as far as the plan goes. */
function deflationsIn(steps: readonly Step[]): number {
  return countedFrom(steps, false).count;
}

function countedFrom(
  steps: readonly Step[],
  injectedBefore: boolean,
): { readonly count: number; readonly injected: boolean } {
  let injected = injectedBefore;
  let count = 0;
  for (const step of steps) {
    if (step.kind === "inject") injected = true;
    if (step.kind === "deflate" && injected) count += 1;
    if (step.kind !== "repeat" && step.kind !== "do" && step.kind !== "stage") continue;
    const inner = countedFrom(step.steps, injected);
    count += inner.count * (step.kind === "repeat" ? step.times : 1);
    injected = inner.injected;
  }
  return { count, injected };
}

function monitoringInterval({ preparation }: Protocol): string | undefined {
  for (const item of preparation?.items ?? []) {
    if (item.kind === "monitoring" && item.every) return durationText(inBase(item.every));
  }
  return undefined;
}
