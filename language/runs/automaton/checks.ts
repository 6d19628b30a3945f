import type { Origin } from "@limbwright/shared/finding";
import { isEmergency } from "@limbwright/shared/runtime";
import type { Step } from "../../model/index.ts";
import { inOneOrder } from "./one-order.ts";
import type { Building, Place } from "./place.ts";
import type { Instant } from "./watch.ts";

/** The checks that all rules make at an instant, as numbers of the draft. */
export function checksAt({ draft, watchers, leaks }: Building, instant: Instant, origin: Origin): number[] {
  return watchers
    .filter(({ inEmergencies }) => inEmergencies || !isEmergency(instant.phase))
    .flatMap(({ rule, checksAt: ask }) =>
      inOneOrder(ask(instant).filter(({ inLeaks }) => leaks || inLeaks !== "alone")).map(
        ({ origin: own, inLeaks: _, ...check }) => draft.addCheck({ rule, ...check }, own ?? origin),
      ),
    );
}

/** The moment at which a step starts or ends. */
export function instantOf(building: Building, kind: "start" | "end", step: Step, { phase }: Place): Instant {
  const later = building.inflationsLater.get(step) ?? [];
  const own = "cuffs" in step && step.cuffs.kind === "cuff" ? step.cuffs.name : undefined;
  return { kind, step, phase, inflatesOtherLater: later.some((cuff) => cuff !== own) };
}
