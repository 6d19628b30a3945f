import type { Condition } from "@limbwright/shared/runtime";
import type { Step } from "../../model/index.ts";
import {
  all,
  CONFIRMED,
  chosen,
  cuffVariable,
  DRUG_IN_LIMB,
  FLAT,
  FLAT_TIME,
  given,
  HOLD,
  IN_LIMB,
  INFLATED,
  is,
  isConfirmed,
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
import { type Effect, effects, NO_EFFECT, passing } from "./moments.ts";

/** What the effects of steps need to know of the protocol. */
export interface EffectSetting {
  readonly cuffs: readonly string[];
  /** The moments that something counts from. */
  readonly counted: readonly string[];
}

/** What a step changes as it starts. */
export function effectAtStart(step: Step, setting: EffectSetting): Effect {
  const { counted } = setting;
  switch (step.kind) {
    case "exsanguinate":
      return step.method === "bandage" ? { ...NO_EFFECT, set: [set("bandage", 1)] } : NO_EFFECT;
    case "remove-cannula":
      return { ...NO_EFFECT, set: [set("cannula", 0)] };
    case "deflate":
      return effects(
        step.flatFor ? remembering(chosen(step.cuffs, setting.cuffs)) : NO_EFFECT,
        goingFlat(chosen(step.cuffs, setting.cuffs), setting),
      );
    case "inject":
      // In another limb it is in the body at once, as any dose that is given.
      if (step.intoOtherLimb) return giving(step.dose);
      return effects(
        { reset: [], set: [set("drug", IN_LIMB), set("hold runs", 0), set("deflations", 0)] },
        giving(step.dose),
        passing(`start of ${step.dose}`, counted),
      );
    case "give":
      return effects(giving(step.dose), passing(`start of ${step.dose}`, counted));
    default:
      return NO_EFFECT;
  }
}

/** What a step changes as it ends. */
export function effectAtEnd(step: Step, setting: EffectSetting): Effect {
  const { cuffs, counted } = setting;
  switch (step.kind) {
    case "insert-cannula":
      return { ...NO_EFFECT, set: [set("cannula", 1)] };
    case "exsanguinate":
      return { ...NO_EFFECT, set: [set("emptied", 1)] };
    case "remove-bandage":
      return { ...NO_EFFECT, set: [set("bandage", 0)] };
    case "inflate":
      return goingUp(chosen(step.cuffs, cuffs), isFlat, setting);
    case "deflate":
      return step.flatFor
        ? goingUp(chosen(step.cuffs, cuffs), (cuff) => is(`again ${cuff}`, 1), setting)
        : NO_EFFECT;
    case "confirm":
      return {
        ...NO_EFFECT,
        set: chosen(step.cuffs, cuffs).map((cuff) => set(cuffVariable(cuff), CONFIRMED, isUp(cuff))),
      };
    case "inject":
      if (step.intoOtherLimb) return NO_EFFECT;
      return effects(
        { set: [set("hold runs", 1)], reset: [{ clock: HOLD }] },
        passing(`end of ${step.dose}`, counted),
      );
    case "give":
      return passing(`end of ${step.dose}`, counted);
    case "recovery":
      return { ...NO_EFFECT, set: [set("in force", 0)] };
    default:
      return NO_EFFECT;
  }
}

/** What it changes that a cuff could not be confirmed: whatever was felt before, it counts no longer. */
export function effectOfFailure(step: Step & { readonly kind: "confirm" }, { cuffs }: EffectSetting): Effect {
  return {
    ...NO_EFFECT,
    set: chosen(step.cuffs, cuffs).map((cuff) => set(cuffVariable(cuff), UP, isConfirmed(cuff))),
  };
}

/** Cuffs lose their pressure: confirmed is lost too, and with the drug in the limb it may be the release. */
export function goingFlat(deflated: readonly string[], { cuffs, counted }: EffectSetting): Effect {
  const leavesNone = leavesNoneUp(deflated, cuffs);
  const releases: Condition = all(leavesNone, DRUG_IN_LIMB);
  return effects(
    {
      set: [
        ...deflated.map((cuff) => set(cuffVariable(cuff), FLAT)),
        { variable: "deflations", plus: 1, when: all(leavesNone, not(atMostDeflations())) },
        set("drug", RELEASED, releases),
      ],
      reset: [{ clock: FLAT_TIME, when: leavesNone }],
    },
    passing("release", counted, releases),
  );
}

function atMostDeflations(): Condition {
  return { variable: "deflations", atLeast: MOST_DEFLATIONS };
}

function goingUp(
  inflated: readonly string[],
  from: (cuff: string) => Condition,
  { counted }: EffectSetting,
): Effect {
  return effects(
    {
      set: [
        ...inflated.map((cuff) => set(cuffVariable(cuff), UP, all(from(cuff), isFlat(cuff)))),
        set("inflated", 1),
        set("in force", 1),
      ],
      reset: [{ clock: OCCLUSION, when: not(INFLATED) }],
    },
    passing("first inflation", counted, not(INFLATED)),
  );
}

/** Which cuffs are up, so that the same ones come up again. */
function remembering(cuffs: readonly string[]): Effect {
  return {
    ...NO_EFFECT,
    set: cuffs.flatMap((cuff) => [
      set(`again ${cuff}`, 1, isUp(cuff)),
      set(`again ${cuff}`, 0, isFlat(cuff)),
    ]),
  };
}

function giving(dose: string): Effect {
  return { ...NO_EFFECT, set: [{ variable: given(dose), plus: 1 }] };
}
