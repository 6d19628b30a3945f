import type { Named, Told } from "./known-events.ts";
import { isAmiss, type Measured, type Place, type Stepper } from "./stepper.ts";
import type { Way } from "./way.ts";

/** So many of the events that follow say which of several readings of a slip fits best. */
export const LOOK_AHEAD = 8;

/** Where a case is. */
export interface Here {
  readonly place: Place;
  readonly began: Float64Array;
}

/**
 * Of the ways on from something that is amiss, the one that what follows fits best; undefined where it fits better that it was
 * done beside the protocol, which goes on where it was. `missed` are the steps of a way that were left out.
 */
export function bestReading(
  stepper: Stepper,
  { place, began }: Here,
  { event, at }: Told,
  next: readonly Told[],
  missed: (way: Way) => readonly Named[],
): Measured | undefined {
  const within = stepper.rankWays(stepper.waysWithin(place, event), began, at).slice(0, 2);
  const ahead = stepper.rankWays(stepper.waysAhead(place, event), began, at).slice(0, 1);
  const readings = [...within, ...ahead].map((candidate) => {
    const after = began.slice();
    const steps = missed(candidate.way);
    const fit = fitOf(
      stepper,
      { place: stepper.go(candidate.way, after, at), began: after },
      next,
      steps.map(({ key }) => key),
    );
    return { candidate, fit, slips: steps.length + (isAmiss(candidate) ? 1 : 0) };
  });
  const [best] = readings.sort((a, b) => b.fit - a.fit || a.slips - b.slips);
  if (!best || event.kind === "finish") return best?.candidate;
  // An end of what is in hand, and a leak, are what they are, whatever follows.
  const isPlain = event.kind === "leak" || event.kind === "end";
  if (isPlain && best.candidate.way.leftOut.length === 0) return best.candidate;
  const beside = fitOf(stepper, { place, began: began.slice() }, next, [event.key]);
  if (best.fit === beside) return best.slips <= 1 ? best.candidate : undefined;
  return best.fit > beside ? best.candidate : undefined;
}

/** How many of the next events fit, with what is done beside (`free`) counted as fitting. */
function fitOf(stepper: Stepper, from: Here, next: readonly Told[], free: readonly string[]): number {
  let { place } = from;
  let fit = 0;
  for (const { event, at } of next) {
    const clean = stepper.findClean(place, event, from.began, at);
    // With no more than one thing untold it weighs less than any way on which something is amiss.
    if (clean && clean.untold.length < 2) {
      fit += 1;
      place = stepper.go(clean, from.began, at);
      continue;
    }
    const [best] = stepper.rankWays(stepper.waysWithin(place, event), from.began, at);
    if (best) {
      fit += isAmiss(best) ? 0 : 1;
      place = stepper.go(best.way, from.began, at);
    } else if (free.includes(event.key)) fit += 1;
    else return fit;
  }
  return fit;
}
