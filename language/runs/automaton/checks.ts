import type { Origin } from "@limbwright/shared/finding";
import { isEmergency } from "@limbwright/shared/runtime";
import { inOneOrder } from "./one-order.ts";
import type { Building } from "./place.ts";
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
