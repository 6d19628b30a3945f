import { durationText, inBase } from "@limbwright/shared/quantity";
import type { Protocol, Step } from "../../model/index.ts";
import { allHandlers } from "../../model/index.ts";
import type { Envelope } from "../../runs/index.ts";
import { envelopeText } from "../findings/envelope-lines.ts";
import { clockLimitsOf, minutesText, momentText } from "../pictures/clock-limits.ts";
import { itemsOf } from "./checklist.ts";
import type { SheetBound, SheetTimes } from "./sheet.ts";

/** The clock times of a run that are worked out and written down at the bedside. */
export function timesOf(protocol: Protocol, envelope: Envelope | undefined): SheetTimes {
  const every = monitoringInterval(protocol);
  return {
    moments: clockLimitsOf(protocol).flatMap(({ moment, from }) => (moment.kind === "release" ? [] : [from])),
    bounds: boundsOf(protocol),
    deflations: deflationsIn(protocol.steps ?? []),
    hasSwap: (protocol.cuffs?.cuffs.length ?? 0) > 1,
    ...(every !== undefined && { pressureEvery: every }),
    overAllRuns:
      envelopeText(envelope) ?? "Not decided: how early and how late the release can come over all runs.",
  };
}

/** When the release may come, from each moment that something counts from, and what has to be done at some time. */
function boundsOf(protocol: Protocol): SheetBound[] {
  const limits = clockLimitsOf(protocol).filter(({ moment }) => moment.kind !== "release");
  const bounds = (what: SheetBound["what"], side: "least" | "most") =>
    limits.flatMap((one): SheetBound[] => {
      const plus = one[side];
      return plus ? [{ what, from: one.from, plus: minutesText(plus) }] : [];
    });
  return [
    ...bounds("earliest release", "least"),
    ...bounds("latest release", "most"),
    ...urgentBounds(protocol),
  ];
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
        from: momentText(timer.from),
        plus: minutesText(inBase(handler.limit)),
      },
    ];
  });
}

/** How often steps let every cuff down after the drug is in, as far as the plan goes. */
function deflationsIn(steps: readonly Step[]): number {
  return countDeflations(steps, false).count;
}

function countDeflations(
  steps: readonly Step[],
  injectedBefore: boolean,
): { readonly count: number; readonly injected: boolean } {
  let injected = injectedBefore;
  let count = 0;
  for (const step of steps) {
    if (step.kind === "inject") injected = true;
    if (step.kind === "deflate" && injected) count += 1;
    if (step.kind !== "repeat" && step.kind !== "do" && step.kind !== "stage") continue;
    const inner = countDeflations(step.steps, injected);
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
