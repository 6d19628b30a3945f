import { buildEnding } from "./ending.ts";
import { type Building, emptyScope, locationBefore, type Place } from "./place.ts";

/** The location in which an emergency begins; its steps are built the first time it is asked for. */
export function enterEmergency(building: Building, name: string): number {
  const known = building.emergencies.get(name);
  if (known !== undefined) return known;
  const emergency = building.protocol.emergencies.find((one) => one.name === name);
  if (!emergency) return building.end;
  const scope = emptyScope();
  const place: Place = { phase: "emergency", stages: [], atMost: [], scopes: [scope] };
  building.groups.push({ kind: "emergency", says: `emergency ${name}`, name, scope });
  const entry = locationBefore(building, `emergency ${name}`, place);
  building.emergencies.set(name, entry);
  const first = building.steps(
    building,
    emergency.steps,
    buildEnding(building, place, emergency.nameOrigin),
    place,
  );
  building.draft.addEdge({
    kind: "pass",
    says: `emergency ${name}`,
    from: [entry],
    to: first,
    origin: emergency.nameOrigin,
  });
  return entry;
}
