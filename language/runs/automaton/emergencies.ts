import type { Assignment, Condition, Variable } from "@limbwright/shared/runtime";
import { allHandlers, type Handler, type Protocol, stepsReached } from "../../model/index.ts";
import { buildEnding } from "./ending.ts";
import { all, is, not, set } from "./facts.ts";
import { isOfLeaks } from "./leak-facts.ts";
import { type Building, emptyScope, locationBefore, type Place } from "./place.ts";

/** Whether a handler answers toxicity signs: an emergency that it leads to is no longer judged. */
export function isOfToxicitySigns(handler: Handler): boolean {
  return handler.kind === "event" && handler.event === "toxicity-signs";
}

/** The emergencies to which an answer to toxicity signs leads: the treatment of what has been let go. */
export function treatmentEmergencies(protocol: Protocol): ReadonlySet<string> {
  return new Set(allHandlers(protocol).filter(isOfToxicitySigns).flatMap(emergenciesLedTo));
}

/**
 * The location in which an emergency begins; its steps are built the first time it is asked for. After toxicity signs it is built
 * for itself; however else it is reached, it is plan.
 */
export function enterEmergency(building: Building, name: string, isAfterSigns: boolean): number {
  const key = isAfterSigns ? `${name} after signs` : name;
  const known = building.emergencies.get(key);
  if (known !== undefined) return known;
  const emergency = building.protocol.emergencies.find((one) => one.name === name);
  if (!emergency) return building.end;
  const scope = emptyScope();
  const place: Place = {
    ...(isAfterSigns
      ? { phase: "emergency", scopes: [scope] }
      : { phase: "plan", scopes: [building.plan, scope] }),
    isAfterSigns,
    stages: [],
    atMost: [],
  };
  building.groups.push({ kind: "emergency", says: `emergency ${name}`, name, scope });
  const entry = locationBefore(building, `emergency ${name}`, place);
  building.emergencies.set(key, entry);
  const ending = buildEnding(building, place, emergency.nameOrigin);
  const first = building.steps(building, emergency.steps, ending, place);
  building.draft.addEdge({
    kind: "pass",
    says: `emergency ${name}`,
    from: [entry],
    to: first,
    origin: emergency.nameOrigin,
  });
  return entry;
}

/**
 * The emergencies that are plan and to which a handler of `throughout` leads: it is in force in them, too, but does not begin one
 * again that has begun. A leak comes once.
 */
export function emergenciesFromThroughout({ throughout, emergencies }: Protocol): string[] {
  const led = new Set(throughout.filter(leadsIntoPlan).flatMap(emergenciesLedTo));
  return emergencies.map(({ name }) => name).filter((name) => led.has(name));
}

function leadsIntoPlan(handler: Handler): boolean {
  return !isOfToxicitySigns(handler) && !isOfLeaks(handler);
}

function emergenciesLedTo({ steps }: Handler): string[] {
  return [...stepsReached(steps)].flatMap((step) =>
    step.kind === "go-to-emergency" ? [step.emergency] : [],
  );
}

/** What takes note that an emergency has begun. */
export function begunVariable(name: string): Variable {
  return { name: `emergency ${name} has begun`, values: ["no", "yes"], first: 0 };
}

/** An emergency begins that a handler of `throughout` might begin again. */
export function noteBegun({ begun }: Building, name: string, isAfterSigns: boolean): Assignment[] {
  return begun.includes(name) && !isAfterSigns ? [set(begunVariable(name).name, 1)] : [];
}

/** A handler that leads to an emergency does not begin it again; undefined where that cannot be. */
export function hasNotBegun({ begun }: Building, handler: Handler): Condition | undefined {
  if (!leadsIntoPlan(handler)) return undefined;
  const led = new Set(emergenciesLedTo(handler));
  const noted = begun.filter((name) => led.has(name));
  return noted.length === 0 ? undefined : all(...noted.map((name) => not(is(begunVariable(name).name, 1))));
}
