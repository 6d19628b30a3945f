import { PRESSURE } from "@limbwright/shared/quantity";
import {
  type Cuffs as FileCuffs,
  type Patients as FilePatients,
  type PrepareItem as FilePrepareItem,
  type Protocol as FileProtocol,
  type Timer as FileTimer,
  pointer,
  type RuleFile,
} from "@limbwright/shared/rule-file";
import {
  type Agent,
  type CuffSet,
  KNOWN_CONDITIONS,
  type Patients,
  type PrepareItem,
  type Timer,
} from "../../model/index.ts";
import { VARIABLES } from "../../population/index.ts";
import type { Whole } from "../protocol.ts";
import { measuredFrom } from "./amounts.ts";
import { agentsFrom, dosesFrom } from "./doses.ts";
import { localRulesFrom } from "./local-rules.ts";
import { Places } from "./places.ts";
import { momentFrom, requirementsFrom } from "./requirements.ts";
import { handlersFrom, stepsFrom } from "./steps.ts";
import { quantityFrom, rangeFrom, Senseless } from "./values.ts";

/**
 * The protocol that a rule file was compiled from, as far as rules look at it. Gives the reason instead where
 * the file says something that makes no sense, such as a mass and a pressure added up.
 */
export function restoreProtocol(file: RuleFile): Whole | { readonly senseless: string } {
  try {
    return protocolFrom(file);
  } catch (error) {
    if (error instanceof Senseless) return { senseless: error.message };
    throw error;
  }
}

function protocolFrom(file: RuleFile): Whole {
  const { protocol, standing, proof } = file;
  const places = new Places(file);
  const at = (key: string) => places.at(pointer("/protocol", key));
  const agents = agentsFrom(places, protocol);
  const localRules = localRulesFrom(places, proof);
  const { title, hospital, owner, preparation } = protocol;
  const { reviewBy } = standing;
  return {
    name: protocol.name,
    ...(title !== undefined && { title }),
    origin: places.at("/protocol"),
    nameOrigin: at("name"),
    version: { value: protocol.version, origin: at("version") },
    ...(hospital !== undefined && { hospital: { value: hospital, origin: at("hospital") } }),
    ...(owner !== undefined && { owner: { value: owner, origin: at("owner") } }),
    status: { value: standing.status, origin: places.at("/standing/status") },
    ...(reviewBy !== undefined && {
      reviewBy: { value: reviewBy, origin: places.at("/standing/reviewBy") },
    }),
    ...(localRules && { localRules }),
    indications: places.inTextOrder(protocol.indications, "/protocol/indications", (value, path) => ({
      value,
      origin: places.at(path),
    })),
    patients: patientsFrom(places, protocol.patients),
    cuffs: cuffsFrom(places, protocol.cuffs),
    doses: dosesFrom(places, protocol, agents),
    timers: places.inTextOrder(protocol.timers, "/protocol/timers", (timer, path) =>
      timerFrom(places, timer, path),
    ),
    ...(preparation && {
      preparation: {
        origin: at("preparation"),
        items: places.inTextOrder(preparation, "/protocol/preparation", (item, path) =>
          itemFrom(places, item, path, agents),
        ),
        incomplete: false,
      },
    }),
    steps: stepsFrom(places, protocol.steps, "/protocol/steps"),
    throughout: handlersFrom(places, protocol.throughout, "/protocol/throughout"),
    emergencies: emergenciesFrom(places, protocol),
    requirements: requirementsFrom(places, protocol.requirements),
    agents: [...agents.values()],
    declaredEvents: places.inTextOrder(protocol.events, "/protocol/events", (event, path) => ({
      ...event,
      origin: places.at(path),
    })),
    incomplete: false,
  };
}

function emergenciesFrom(places: Places, { emergencies }: FileProtocol) {
  return places.inTextOrder(emergencies, "/protocol/emergencies", ({ name, title, steps }, path) => ({
    name,
    ...(title !== undefined && { title }),
    origin: places.at(path),
    nameOrigin: places.at(pointer(path, "name")),
    steps: stepsFrom(places, steps, pointer(path, "steps")),
  }));
}

function patientsFrom(places: Places, { bounds, conditions }: FilePatients): Patients {
  const ranges = VARIABLES.flatMap((variable) => {
    const range = bounds[variable];
    const path = `/protocol/patients/bounds/${variable}`;
    return range ? [[variable, rangeFrom(range, places.at(path))]] : [];
  });
  return {
    origin: places.at("/protocol/patients"),
    bounds: Object.fromEntries(ranges),
    conditions: places.inTextOrder(conditions, "/protocol/patients/conditions", (part, path) => {
      const { decision, condition, text, because } = part;
      const known = KNOWN_CONDITIONS.find((one) => one === condition);
      if (condition !== undefined && !known) throw new Senseless(`no condition is called ${condition}`);
      return {
        decision,
        ...(known && { condition: known }),
        ...(text !== undefined && { text }),
        ...(because !== undefined && { because }),
        origin: places.at(path),
      };
    }),
    incomplete: false,
    boundsIncomplete: false,
  };
}

function cuffsFrom(places: Places, cuffs: FileCuffs): Whole["cuffs"] {
  const path = "/protocol/cuffs";
  const at = (key: string) => places.at(pointer(path, key));
  const { ceiling, fits } = cuffs;
  const occlusion =
    cuffs.occlusion && measuredFrom({ places }, cuffs.occlusion, `${path}/occlusion`, [PRESSURE]);
  const context = { places, ...(occlusion && { occlusion }) };
  const pressure = cuffs.pressure && measuredFrom(context, cuffs.pressure, `${path}/pressure`, [PRESSURE]);
  const set: CuffSet = {
    origin: places.at(path),
    cuffs: cuffs.cuffs.map((cuff, index) => ({ ...cuff, origin: places.at(`${path}/cuffs/${index}`) })),
    place: { value: cuffs.place, origin: at("place") },
    ...(pressure && { pressure }),
    ...(ceiling && { ceiling: quantityFrom(ceiling, at("ceiling")) }),
    ...(fits && { fits: rangeFrom(fits, at("fits")) }),
    ...(occlusion && { occlusion }),
  };
  return set;
}

function timerFrom(places: Places, { name, from, atLeast, atMost }: FileTimer, path: string): Timer {
  const at = (key: string) => places.at(pointer(path, key));
  return {
    name,
    origin: places.at(path),
    nameOrigin: at("name"),
    ...(from && { from: momentFrom(from, at("from")) }),
    ...(atLeast && { atLeast: quantityFrom(atLeast, at("atLeast")) }),
    ...(atMost && { atMost: quantityFrom(atMost, at("atMost")) }),
  };
}

function itemFrom(
  places: Places,
  item: FilePrepareItem,
  path: string,
  agents: ReadonlyMap<string, Agent>,
): PrepareItem {
  const origin = places.at(path);
  switch (item.kind) {
    case "monitoring": {
      const { kind, monitors, every } = item;
      return { kind, monitors, ...(every && { every: quantityFrom(every, origin) }), origin };
    }
    case "at-hand": {
      const known = item.agents.flatMap((name) => agents.get(name) ?? []);
      return { kind: item.kind, agents: known, texts: item.texts, origin };
    }
    case "iv-access":
    case "staff":
    case "site-marked":
    case "text":
      return { ...item, origin };
  }
}
