import type { Origin } from "@limbwright/shared/finding";
import { isEmergency } from "@limbwright/shared/runtime";
import { inOneOrder } from "./one-order.ts";
import type { Building } from "./place.ts";
import type { Instant } from "./watch.ts";

/** The checks that all rules make at an instant, as numbers of the draft. */
export function checksAt({ draft, watchers }: Building, instant: Instant, origin: Origin): number[] {
  return watchers
    .filter(({ inEmergencies }) => inEmergencies || !isEmergency(instant.phase))
    .flatMap(({ rule, checksAt: ask }) =>
      inOneOrder(ask(instant)).map(({ origin: own, ...check }) =>
        draft.addCheck({ rule, ...check }, own ?? origin),
      ),
    );
}
