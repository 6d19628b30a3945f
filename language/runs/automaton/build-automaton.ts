import type { Condition, Edge, Location, Phase } from "@limbwright/shared/runtime";
import { type Handler, type Protocol, type Step, stepsWithin } from "../../model/index.ts";
import { checksAt } from "./checks.ts";
import { countCuffTests } from "./cuff-tests.ts";
import { Draft, type DraftEdge, type LocationGroup, type TracedAutomaton } from "./draft.ts";
import type { Timing } from "./durations.ts";
import { begunVariable, emergenciesFromThroughout } from "./emergencies.ts";
import { buildEnding } from "./ending.ts";
import {
  all,
  any,
  baseVariables,
  cuffNames,
  givenVariable,
  HOLD,
  IN_FORCE,
  letGoVariables,
  OCCLUSION,
  pickCuffs,
} from "./facts.ts";
import { buildHandlers, handlerCounts } from "./handlers.ts";
import { leakVariables } from "./leak-facts.ts";
import { buildLeaks } from "./leaks.ts";
import { endLeftInjections } from "./left-injections.ts";
import { collectCountedMoments } from "./moments.ts";
import { type Building, emptyScope, type Leaks, type Place } from "./place.ts";
import { trackRequirements } from "./requirements.ts";
import { withoutTwins } from "./same-clocks.ts";
import { buildSteps } from "./steps.ts";
import type { Watcher } from "./watch.ts";

export interface BuildOptions {
  readonly timing: Timing;
  readonly watchers: readonly Watcher[];
  readonly leaks?: Leaks;
}

/**
 * The automaton of a protocol: every run that its steps, handlers and emergencies allow, and at every instant what the rules watch
 * there. It does not depend on the order in which handlers, timers or doses are declared.
 */
export function buildAutomaton(
  protocol: Protocol,
  { timing, watchers, leaks }: BuildOptions,
): TracedAutomaton {
  const draft = new Draft();
  const cuffs = cuffNames(protocol);
  const counted = collectCountedMoments(protocol);
  const requirements = trackRequirements(protocol);
  const end = draft.addLocation({ name: "the end", kind: "end", phase: "end" });
  const building: Building = {
    protocol,
    draft,
    timing,
    setting: { cuffs, counted },
    watchers: [...watchers, requirements.watcher],
    plan: emptyScope(),
    end,
    bodies: [],
    groups: [],
    emergencies: new Map(),
    begun: emergenciesFromThroughout(protocol),
    injections: [],
    afterwards: [],
    touched: [],
    inForce: [],
    tracked: requirements.tracked,
    inflationsLater: inflationsLater(protocol, cuffs),
    counter: { next: 1 },
    steps: buildSteps,
    ...(leaks && { leaks }),
  };
  draft.variables.push(...variablesOf(protocol, cuffs, counted), ...requirements.variables);
  draft.variables.push(...building.begun.map(begunVariable));
  if (leaks) draft.variables.push(...leakVariables());
  const initial = buildPlan(building);
  for (const work of building.afterwards) work();
  endLeftInjections(building);
  countCuffTests(building, initial);
  return buildTraced(building, initial);
}

function buildPlan(building: Building): number {
  const { protocol, plan } = building;
  const place: Place = { phase: "plan", isAfterSigns: false, stages: [], atMost: [], scopes: [plan] };
  const ending = buildEnding(building, place, protocol.nameOrigin);
  const initial = buildSteps(building, protocol.steps ?? [], ending, place);
  const counts = handlerCounts(building, protocol.throughout);
  buildHandlers(building, protocol.throughout, counts, plan, place, { clock: OCCLUSION, when: IN_FORCE });
  buildLeaks(building, plan);
  return initial;
}

function variablesOf(protocol: Protocol, cuffs: readonly string[], counted: readonly string[]) {
  const doses = protocol.doses.map(({ name }) => name).sort();
  return [
    ...baseVariables(cuffs),
    ...cuffs.map((cuff) => ({ name: `again ${cuff}`, first: 0 })),
    ...counted.map((moment) => ({ name: `${moment} has been`, values: ["no", "yes"], first: 0 })),
    ...doses.map((dose) => ({ name: givenVariable(dose), first: 0 })),
    ...letGoVariables(protocol),
  ];
}

/** For each step of the plan or of an emergency, the cuffs that are inflated after it there. */
function inflationsLater(
  { steps = [], emergencies }: Protocol,
  cuffs: readonly string[],
): Map<object, readonly string[]> {
  const later = new Map<object, readonly string[]>();
  for (const list of [steps, ...emergencies.map((emergency) => emergency.steps)]) {
    let inflated: readonly string[] = [];
    for (const step of [...planSteps(list)].reverse()) {
      later.set(step, inflated);
      if (step.kind === "inflate") inflated = [...new Set([...inflated, ...pickCuffs(step.cuffs, cuffs)])];
    }
  }
  return later;
}

function* planSteps(steps: readonly Step[]): Generator<Step> {
  for (const step of steps) {
    if (step.kind === "stage") {
      yield step;
      yield* planSteps(step.steps);
    } else {
      yield* stepsWithin([step]);
    }
  }
}

/** Numbers the checks of any moment once for each phase in which they are made. */
function withMomentChecks(building: Building): Location[] {
  const { draft, protocol } = building;
  const ofPhase = new Map<Phase, readonly number[]>();
  const answered = (isAsked: (handler: Handler) => boolean) => isInForce(building, isAsked);
  const running = (isAsked: (handler: Handler) => boolean) => isRunning(building, isAsked);
  const inHand = () => ({
    at: draft.locations.flatMap(({ kind }, location) => (kind === "during" ? [location] : [])),
  });
  const checksOf = (phase: Phase) => {
    const known =
      ofPhase.get(phase) ??
      checksAt(building, { kind: "any", phase, answered, running, inHand }, protocol.nameOrigin);
    ofPhase.set(phase, known);
    return known;
  };
  return draft.locations.map((location) => {
    const checks = location.phase === "end" ? [] : checksOf(location.phase);
    return checks.length > 0 ? { ...location, checks } : location;
  });
}

function buildTraced(building: Building, initial: number): TracedAutomaton {
  const { draft } = building;
  const locations = withMomentChecks(building);
  const parts = {
    initial,
    variables: draft.variables,
    locations,
    edges: draft.edges.map(edgeOf),
    checks: draft.checks,
  };
  return {
    ...withoutTwins(parts, [HOLD, OCCLUSION]),
    edgeOrigins: draft.edges.map(({ origin }) => origin),
    checkOrigins: draft.checkOrigins,
    elements: draft.elements,
    groups: groupsOf(building),
  };
}

function groupsOf({ groups, bodies }: Building): LocationGroup[] {
  const handlers = bodies.map((body) => ({ kind: "handler", ...body }) as const);
  return [...groups, ...handlers].map(({ kind, says, scope, ...group }) => ({
    kind,
    says,
    ...("name" in group && { name: group.name }),
    locations: [...scope.during, ...scope.before],
  }));
}

function edgeOf({ origin: _, set, reset, checks, ...edge }: DraftEdge): Edge {
  return {
    ...edge,
    ...(set && set.length > 0 && { set }),
    ...(reset && reset.length > 0 && { reset }),
    ...(checks.length > 0 && { checks }),
  };
}

/** Whether, where the run is, one of some handlers is in force, or will be as soon as another has run. */
function isInForce({ inForce }: Building, isAsked: (handler: Handler) => boolean): Condition {
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

/** Whether the run is in the body of one of some handlers. */
function isRunning({ bodies }: Building, isAsked: (handler: Handler) => boolean): Condition {
  return any(
    ...bodies
      .filter(({ handler }) => isAsked(handler))
      .map(({ scope }) => ({ at: [...scope.during, ...scope.before] })),
  );
}
