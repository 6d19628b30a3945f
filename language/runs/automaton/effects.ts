import type { Condition } from "@limbwright/shared/runtime";
import {
  all,
  BANDAGE_ON,
  type CONFIRMED,
  cuffVariable,
  DRUG_GIVEN,
  DRUG_IN_LIMB,
  FLAT,
  FLAT_TIME,
  givenVariable,
  INFLATED,
  is,
  isFlat,
  isUp,
  leavesNoneUp,
  MOST_DEFLATIONS,
  not,
  OCCLUSION,
  RELEASED,
  set,
  UP,
} from "./facts.ts";
import { changing, type Effect, joinEffects, passMoment } from "./moments.ts";

/** What the effects of steps need to know of the protocol. */
export interface EffectSetting {
  readonly cuffs: readonly string[];
  /** The moments that something counts from. */
  readonly counted: readonly string[];
}

/** Cuffs lose their pressure: confirmed is lost too, and with the drug in the limb it may be the release. */
export function goingFlat(deflated: readonly string[], { cuffs, counted }: EffectSetting): Effect {
  const leavesNone = leavesNoneUp(deflated, cuffs);
  const releases: Condition = all(leavesNone, DRUG_IN_LIMB);
  return joinEffects(
    {
      set: [
        ...deflated.map((cuff) => set(cuffVariable(cuff), FLAT)),
        { variable: "deflations", plus: 1, when: all(leavesNone, not(atMostDeflations())) },
        set("drug", RELEASED, releases),
        // What was felt, was felt with this cuff up.
        set("pulse gone", 0),
        // Without a bandage that keeps it out, the blood comes back.
        set("emptied", 0, all(leavesNone, not(BANDAGE_ON), not(DRUG_GIVEN))),
      ],
      reset: [{ clock: FLAT_TIME, when: leavesNone }],
    },
    passMoment("release", counted, releases),
  );
}

function atMostDeflations(): Condition {
  return { variable: "deflations", atLeast: MOST_DEFLATIONS };
}

/** Cuffs come up, those of which `from` is so. */
export function goingUp(
  inflated: readonly string[],
  from: (cuff: string) => Condition,
  { counted }: EffectSetting,
): Effect {
  return joinEffects(
    {
      set: [
        ...inflated.map((cuff) => set(cuffVariable(cuff), UP, all(from(cuff), isFlat(cuff)))),
        set("inflated", 1),
        set("in force", 1),
      ],
      reset: [{ clock: OCCLUSION, when: not(INFLATED) }],
    },
    passMoment("first inflation", counted, not(INFLATED)),
  );
}

/** The cuffs that were up come up again. */
export function comingUpAgain(cuffs: readonly string[], setting: EffectSetting): Effect {
  return goingUp(cuffs, (cuff) => is(`again ${cuff}`, 1), setting);
}

/** What is felt of some cuffs, where it was otherwise before. */
export function feeling(
  cuffs: readonly string[],
  before: (cuff: string) => Condition,
  state: typeof UP | typeof CONFIRMED,
): Effect {
  return changing(...cuffs.map((cuff) => set(cuffVariable(cuff), state, before(cuff))));
}

/** Which cuffs are up, so that the same ones come up again. */
export function rememberCuffs(cuffs: readonly string[]): Effect {
  return changing(
    ...cuffs.flatMap((cuff) => [set(`again ${cuff}`, 1, isUp(cuff)), set(`again ${cuff}`, 0, isFlat(cuff))]),
  );
}

export function giveDose(dose: string): Effect {
  return changing({ variable: givenVariable(dose), plus: 1 });
}
