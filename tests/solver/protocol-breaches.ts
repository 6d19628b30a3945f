import type { Step, Timer } from "../../language/model/index.ts";
import { type Found, isUp, keyOf, requirementKey, type State, secondsOf } from "./protocol-state.ts";
import type { World } from "./protocol-world.ts";

type Deflation = Step & { readonly kind: "deflate" };
type Place = Step["origin"];

/** What a step breaks as it starts, before it changes anything. */
export function foundAtStart(of: World, state: State, step: Step): Found[] {
  const isEmergency = state.phase === "emergency";
  const ofDeflation = step.kind === "deflate" ? foundAtDeflation(of, state, step) : [];
  // Every dose of these protocols is one of a local anaesthetic.
  const late = "dose" in step && state.facts["toxicity seen"] === 1;
  const afterToxicity = late ? goingOn([keyOf("anaesthetic-after-toxicity", step.origin)]) : [];
  if (isEmergency) return [...ofDeflation, ...afterToxicity];
  // After a leak a run is followed on: what lacks then may come of it.
  const endsRun = state.facts.leaked !== 1;
  const ending = needsOf(of, state, step).map((rule) => ({ key: keyOf(rule, step.origin), endsRun }));
  const undecided = step.kind === "inject" && state.facts.undecided === 1;
  const goesOn = undecided ? [keyOf("cuff-failure-not-handled", step.origin, "goes on")] : [];
  if (step.kind === "inject" && step.intoOtherLimb) {
    ending.push({ key: keyOf("no-cuff-up", step.origin), endsRun: true });
  }
  const others = step.kind === "inject" ? slipsAtInjection(of, state) : [];
  return [
    ...ofDeflation,
    ...afterToxicity,
    ...ending,
    ...goingOn([...goesOn, ...others.map((rule) => keyOf(rule, step.origin))]),
    ...requiredAtStart(of, state, step),
  ];
}

/** The rules whose needs are not met. */
function needsOf(of: World, state: State, step: Step): string[] {
  const someUp = of.anyUp(state);
  const chosen = "cuffs" in step ? of.chosen(step.cuffs) : [];
  const outOfPlace = (isSo: boolean) => (isSo ? ["step-out-of-place"] : []);
  switch (step.kind) {
    case "inject":
      return [
        ...outOfPlace(state.facts.cannula !== 1),
        ...(someUp ? [] : ["inject-before-occlusion"]),
        ...(someUp && !isAnyConfirmed(of, state) ? ["inject-before-confirm"] : []),
        ...(state.facts.bandage === 1 ? ["inject-with-bandage-on"] : []),
      ];
    case "exsanguinate":
    case "recovery":
      return outOfPlace(someUp);
    case "deflate":
      return outOfPlace(!step.forEmergency && !chosen.some((cuff) => isUp(state, cuff)));
    case "confirm":
      return outOfPlace(!chosen.every((cuff) => isUp(state, cuff)));
    case "remove-bandage":
      return isAnyConfirmed(of, state) ? [] : ["bandage-off-before-occlusion"];
    default:
      return [];
  }
}

function isAnyConfirmed(of: World, { facts }: State): boolean {
  return of.cuffs.some((cuff) => facts[`cuff ${cuff}`] === 2);
}

function slipsAtInjection(of: World, state: State): string[] {
  if (state.facts.drug) return [];
  const [, distal] = of.cuffs;
  return [
    ...(of.anyUp(state) && state.facts.emptied !== 1 ? ["not-exsanguinated"] : []),
    ...(distal !== undefined && state.facts.leaked !== 1 && isUp(state, distal)
      ? ["wrong-inflation-order"]
      : []),
  ];
}

function requiredAtStart(of: World, state: State, step: Step): Found[] {
  const broken = of.protocol.requirements.filter(({ property }, at) => {
    if (property.kind !== "only-when" && property.kind !== "only-after") return false;
    if (!of.does(step, property.action)) return false;
    return property.kind === "only-when"
      ? !of.holds(state, property.condition)
      : state.facts[`done ${at}`] !== 1;
  });
  return goingOn(broken.map((requirement) => requirementKey(requirement, step.origin)));
}

function foundAtDeflation(of: World, state: State, step: Deflation): Found[] {
  const chosen = of.chosen(step.cuffs);
  if (!chosen.some((cuff) => isUp(state, cuff))) return [];
  const saves = of.savesLimbOrLife(step, state.phase);
  const leavesAnother = of.cuffs.some((cuff) => !chosen.includes(cuff) && isUp(state, cuff));
  const isEmergency = state.phase === "emergency";
  if (leavesAnother) return isEmergency || state.facts.drug !== 1 ? [] : foundAtSwap(of, state, step);
  const tooEarly = !saves && isBeforeMinimum(of, state) ? [releasedTooEarly(of, state, step)] : [];
  return isEmergency ? tooEarly : [...tooEarly, ...goingOn(brokenByLastDeflation(of, state, saves))];
}

/** A cuff is let down with the drug behind it, and another one stays up. */
function foundAtSwap(of: World, { facts, since }: State, step: Deflation): Found[] {
  const chosen = of.chosen(step.cuffs);
  const isConfirmed = of.cuffs.some((cuff) => !chosen.includes(cuff) && facts[`cuff ${cuff}`] === 2);
  return goingOn([
    ...(facts.leaked !== 1 && (since.hold ?? -1) < of.limits.swap
      ? [keyOf("swap-before-onset", step.origin)]
      : []),
    ...(isConfirmed ? [] : [keyOf("swap-onto-unconfirmed", step.origin)]),
  ]);
}

function isBeforeMinimum(of: World, { facts, since }: State): boolean {
  return facts.drug === 1 && (since.hold ?? -1) < of.limits.minimum;
}

/** What a cuff breaks by losing its pressure, before anything changes. */
export function foundAtLeak(of: World, state: State, cuff: string): Found[] {
  const leavesAnother = of.cuffs.some((other) => other !== cuff && isUp(state, other));
  const origin = of.protocol.cuffs?.origin;
  return leavesAnother || !origin || !isBeforeMinimum(of, state)
    ? []
    : goingOn([keyOf("no-cuff-up", origin)]);
}

/** By the plan it is an early release, by anything else a limb without a cuff. */
function releasedTooEarly(of: World, { phase, facts }: State, step: Deflation): Found {
  const isPlanned = phase === "plan" && (step.cuffs.kind === "all" || !of.inflatesOtherLater(step));
  return {
    key: keyOf(isPlanned ? "early-release" : "no-cuff-up", step.origin),
    endsRun: !isPlanned && facts.leaked !== 1,
  };
}

function brokenByLastDeflation(of: World, state: State, saves: boolean): string[] {
  const isTooLong = (state.since["first inflation"] ?? 0) > of.limits.occlusion;
  return [
    ...(isTooLong ? [keyOf("occlusion-too-long", of.protocol.nameOrigin)] : []),
    ...(saves ? [] : of.protocol.timers).flatMap((timer) =>
      claimsBroken(of, state, timer).map((place) => keyOf("timer-claim-broken", place)),
    ),
  ];
}

function claimsBroken(of: World, { facts, since }: State, timer: Timer): Place[] {
  const { name, from, atLeast, atMost } = timer;
  const time = since[of.momentOfTimer(name)];
  const isLate = atMost !== undefined && time !== undefined && time > secondsOf(atMost);
  const claimsLeast = atLeast !== undefined && from?.kind !== "release" && facts.drug === 1;
  return [
    ...(isLate ? [atMost.origin] : []),
    ...(claimsLeast && (time ?? -1) < secondsOf(atLeast) ? [atLeast.origin] : []),
  ];
}

/** What a step breaks as it ends, before it changes anything. */
export function foundAtEnd(of: World, state: State, step: Step): Found[] {
  const { facts, since, phase } = state;
  if (phase === "emergency") {
    const isShort = step.kind === "recovery" && state.elapsed < of.limits.recovery;
    return isShort && isUnwatchedAfterSigns(of, state)
      ? goingOn([keyOf("recovery-too-short", step.origin)])
      : [];
  }
  const bringsUp = step.kind === "inflate" || (step.kind === "deflate" && step.flatFor !== undefined);
  const wasReleased = Boolean(facts.drug) && (facts.deflations ?? 0) > 0 && !of.anyUp(state);
  const isTooLong = bringsUp && wasReleased && (since.flat ?? 0) > of.limits.flat;
  const isWatched = step.kind === "recovery" && facts.drug && facts["in force"] === 1 && !of.anyUp(state);
  const isTooShort = isWatched && state.elapsed < of.limits.recovery;
  const late = of.protocol.requirements.filter(({ property }, at) => {
    const waited = since[`waits ${at}`];
    if (property.kind !== "within" || waited === undefined) return false;
    return of.does(step, property.action) && waited > secondsOf(property.limit);
  });
  return goingOn([
    ...(isTooLong ? [keyOf("deflation-too-long", step.origin)] : []),
    ...(isTooShort ? [keyOf("recovery-too-short", step.origin)] : []),
    ...late.map((requirement) => requirementKey(requirement, step.origin)),
  ]);
}

/** After toxicity signs recovery is asked for where a cuff was let down to save limb or life. */
function isUnwatchedAfterSigns(of: World, state: State): boolean {
  const { facts } = state;
  return facts["let go"] === 1 && Boolean(facts.drug) && facts["in force"] === 1 && !of.anyUp(state);
}

/** What a run breaks by ending. */
export function foundAtFinish(of: World, state: State, origin: Place): Found[] {
  const { facts, since, phase } = state;
  if (phase === "emergency") {
    return isUnwatchedAfterSigns(of, state) ? goingOn([keyOf("recovery-too-short", origin)]) : [];
  }
  const { nameOrigin, timers, requirements } = of.protocol;
  const isUpStill = of.anyUp(state);
  const isWatched = facts["in force"] !== 1;
  const isUnwatched = !isWatched && ((facts.deflations ?? 0) > 0 || (facts.leaked === 1 && facts.drug === 2));
  const claims = timers.flatMap(({ name, atMost }) =>
    atMost && since[of.momentOfTimer(name)] !== undefined ? [atMost.origin] : [],
  );
  const open = requirements.filter(
    ({ property }, at) => property.kind === "within" && since[`waits ${at}`] !== undefined,
  );
  return goingOn([
    ...(isUpStill ? [keyOf("occlusion-too-long", nameOrigin)] : []),
    ...(isUpStill ? claims.map((place) => keyOf("timer-claim-broken", place)) : []),
    ...(facts.drug && (isUpStill || isUnwatched) ? [keyOf("recovery-too-short", origin)] : []),
    ...open.map((requirement) => requirementKey(requirement, requirement.origin)),
  ]);
}

/** The requirements that a state breaks by being there. */
export function neverBroken(of: World, state: State): string[] {
  if (state.phase === "emergency" || (state.inHand === undefined && state.todo === undefined)) return [];
  return of.protocol.requirements
    .filter(({ property }) => property.kind === "never" && of.holds(state, property.condition))
    .map((requirement) => requirementKey(requirement, requirement.origin));
}

function goingOn(keys: readonly string[]): Found[] {
  return keys.map((key) => ({ key, endsRun: false }));
}
