import type { Condition } from "@limbwright/shared/runtime";
import type { Handler } from "../../model/index.ts";
import { all, any } from "./facts.ts";
import type { Building } from "./place.ts";

/** Whether, where the run is, one of some handlers is in force, or will be as soon as another has run. */
export function isInForce({ inForce }: Building, isAsked: (handler: Handler) => boolean): Condition {
  return any(
    ...inForce
      .filter(({ handler }) => isAsked(handler))
      .map(({ scope, when }) => {
        const places = [...scope.during, ...scope.before];
        const isHere = any({ at: places }, { interrupted: places });
        return when ? all(isHere, when) : isHere;
      }),
  );
}
