import { isEmergency } from "@limbwright/shared/runtime";
import {
  allHandlers,
  allSteps,
  type Handler,
  holdsSteps,
  innerSteps,
  type Protocol,
  type Step,
  stepsReached,
} from "../../model/index.ts";
import type { Instant } from "../../runs/index.ts";

/** Events that mean danger to limb or life. Those that a hospital declares may mean anything, also that surgery is over. */
const DANGERS: readonly string[] = ["toxicity-signs", "cardiac-arrest", "limb-at-risk"];
/** Those that are reason enough for a cuff to come down; signs of toxicity ask for it to stay up. */
const REASONS: readonly string[] = ["cardiac-arrest", "limb-at-risk"];

/**
 * Tells at which instants a cuff is let down to save limb or life: by `deflate … for emergency` and a role that decides, in an emergency
 * to which danger to limb or life leads and nothing else. After signs of toxicity the cuff stays up unless a question says otherwise.
 */
export function emergencyReleases(protocol: Protocol): (instant: Instant) => boolean {
  const inDanger = stepsReachedBy(DANGERS, protocol);
  const afterSigns = new Set([...stepsAsked(protocol), ...stepsReachedBy(REASONS, protocol)]);
  return (instant) => {
    if (instant.kind !== "start" || !isEmergencyRelease(instant.step)) return false;
    if (instant.step.roles.length === 0) return false;
    return isEmergency(instant.phase) ? afterSigns.has(instant.step) : inDanger.has(instant.step);
  };
}

/** Whether a step lets a cuff down to save limb or life, by its words. */
function isEmergencyRelease(step: Step): boolean {
  return step.kind === "deflate" && step.forEmergency === true;
}

/** What to do about one that does not count as such; undefined for any other step. */
export function whyNoEmergencyRelease(step: Step | undefined): string | undefined {
  if (!step || !isEmergencyRelease(step)) return undefined;
  if (step.roles.length === 0) return 'Write who decides on it: `by "anaesthetist in charge"`.';
  return "`for emergency` counts only in an emergency to which `cardiac-arrest`, `limb-at-risk` or `toxicity-signs` leads and nothing else; after `toxicity-signs` under one answer to a question, with the cuff left up under the other.";
}

/** The steps of emergencies to which only some events lead, without those that stand elsewhere as well. */
function stepsReachedBy(events: readonly string[], protocol: Protocol): ReadonlySet<Step> {
  const handlers = allHandlers(protocol);
  const isDanger = (handler: Handler) => handler.kind === "event" && events.includes(handler.event);
  const safe = handlers.filter((handler) => !isDanger(handler));
  const lists = (of: readonly Handler[]) => of.map(({ steps }) => steps);
  const elsewhere = reachedFrom(protocol, [protocol.steps ?? [], ...lists(safe)]);
  const danger = reachedFrom(protocol, lists(handlers.filter(isDanger)));
  const steps = protocol.emergencies.flatMap((emergency) =>
    danger.has(emergency.name) && !elsewhere.has(emergency.name) ? [...ownSteps(emergency.steps)] : [],
  );
  const others = new Set([
    ...ownSteps(protocol.steps ?? []),
    ...handlers.flatMap((handler) => [...ownSteps(handler.steps)]),
    ...protocol.emergencies.flatMap(({ name, steps }) => (elsewhere.has(name) ? [...ownSteps(steps)] : [])),
  ]);
  return new Set(steps.filter((step) => !others.has(step)));
}

/** The emergencies to which some lists of steps lead, also from one to the next; what interrupts a stage stands for itself. */
function reachedFrom({ emergencies }: Protocol, lists: readonly (readonly Step[])[]): ReadonlySet<string> {
  const names = new Set<string>();
  const open = [...lists];
  for (let steps = open.pop(); steps; steps = open.pop()) {
    for (const step of ownSteps(steps)) {
      if (step.kind !== "go-to-emergency" || names.has(step.emergency)) continue;
      names.add(step.emergency);
      open.push(...emergencies.filter(({ name }) => name === step.emergency).map((one) => one.steps));
    }
  }
  return names;
}

/** Steps with those inside them, but for what interrupts a stage. */
function* ownSteps(steps: readonly Step[]): Generator<Step> {
  for (const step of steps) {
    yield step;
    if (!holdsSteps(step)) continue;
    for (const inner of step.kind === "stage" ? [step.steps] : innerSteps(step)) yield* ownSteps(inner);
  }
}

/** The deflations under one answer to a question of which the other answer leaves the cuff up. */
function stepsAsked(protocol: Protocol): ReadonlySet<Step> {
  const deflations = (steps: readonly Step[]) =>
    [...stepsReached(steps)].filter(({ kind }) => kind === "deflate");
  const asked = [...allSteps(protocol)].flatMap((step) => {
    if (step.kind !== "ask") return [];
    const [yes, no] = [deflations(step.yes), deflations(step.no)];
    return yes.length > 0 && no.length > 0 ? [] : [...yes, ...no];
  });
  return new Set(asked);
}
