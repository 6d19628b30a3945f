import type {
  Condition,
  Cuffs as FileCuffs,
  PrepareItem as FilePrepareItem,
  Protocol as FileProtocol,
  Timer as FileTimer,
  Patients,
  Standing,
} from "@limbwright/shared/rule-file";
import type { CuffSet, PrepareItem, Protocol, Timer } from "../model/index.ts";
import { usedAgents } from "../model/index.ts";
import { VARIABLES } from "../population/index.ts";
import { boxOf } from "../rules/engine/judge.ts";
import { agentPart, textsPart } from "./agents.ts";
import { dosePart } from "./doses.ts";
import { formulaOf } from "./formula.ts";
import type { Marks } from "./marks.ts";
import { momentPart, requirementParts } from "./requirements.ts";
import { cuffPart, handlerParts, type StepContext, stepParts } from "./steps.ts";
import { byName, fileQuantity, fileRange, inFixedOrder } from "./values.ts";

/** A protocol that was understood in full: what every rule file says. */
export type Whole = Protocol &
  Required<Pick<Protocol, "version" | "status" | "patients" | "cuffs" | "steps">>;

/** Whether nothing is missing that a rule file needs. Text that was not understood is an error of its own. */
export function isWhole(protocol: Protocol): protocol is Whole {
  const { version, status, patients, cuffs, steps, doses } = protocol;
  const isThere = version && status && patients && cuffs?.place && steps;
  return isThere !== undefined && doses.length > 0 && doses.every(({ agent }) => agent !== undefined);
}

/** What the protocol means, without where and how it is written; `marks` takes note of that. */
export function protocolPart(marks: Marks, protocol: Whole): FileProtocol {
  const { name, title, version, hospital, owner, cuffs } = protocol;
  const context: StepContext = { marks, cuffs: cuffs.cuffs };
  const box = boxOf(protocol);
  const part: FileProtocol = {
    name,
    ...(title !== undefined && { title }),
    version: version.value,
    ...(hospital && { hospital: hospital.value }),
    ...(owner && { owner: owner.value }),
    indications: textsPart(marks, protocol.indications),
    patients: patientsPart(marks, protocol),
    cuffs: cuffsPart(marks, cuffs),
    agents: byName(usedAgents(protocol).map((agent) => agentPart(marks, agent))),
    doses: byName(protocol.doses.map((dose) => dosePart(marks, dose, box))),
    timers: byName(protocol.timers.map((timer) => timerPart(marks, timer))),
    ...(protocol.preparation && {
      preparation: marks.at(
        inFixedOrder(protocol.preparation.items.map((item) => marks.at(itemPart(item), item.origin))),
        protocol.preparation.origin,
      ),
    }),
    events: byName(
      protocol.declaredEvents.map((event) =>
        marks.at(
          { name: event.name, ...(event.title !== undefined && { title: event.title }) },
          event.origin,
        ),
      ),
    ),
    steps: stepParts(context, protocol.steps),
    throughout: handlerParts(context, protocol.throughout),
    emergencies: byName(
      protocol.emergencies.map((emergency) =>
        marks.at(
          {
            name: emergency.name,
            ...(emergency.title !== undefined && { title: emergency.title }),
            steps: stepParts(context, emergency.steps),
          },
          emergency.origin,
          { name: emergency.nameOrigin },
        ),
      ),
    ),
    requirements: requirementParts(context, protocol),
  };
  return marks.at(part, protocol.origin, {
    name: protocol.nameOrigin,
    version: version.origin,
    hospital: hospital?.origin,
    owner: owner?.origin,
  });
}

/** Where the document stands: it may change without the protocol meaning anything else. */
export function standingPart(marks: Marks, { status, reviewBy }: Whole): Standing {
  const { value, origin } = status;
  const part =
    value.kind === "approved" ? { kind: value.kind, by: value.by, on: value.on } : { kind: value.kind };
  return marks.at(
    { status: marks.at(part, origin), ...(reviewBy && { reviewBy: reviewBy.value }) },
    undefined,
    { reviewBy: reviewBy?.origin },
  );
}

function patientsPart(marks: Marks, { patients }: Whole): Patients {
  const bounds = VARIABLES.flatMap((variable) => {
    const range = patients.bounds[variable];
    return range ? [[variable, marks.at(fileRange(range), range.origin)]] : [];
  });
  const conditions = patients.conditions.map(({ decision, condition, text, because, origin }) => {
    const part: Condition = {
      decision,
      ...(condition && { condition }),
      ...(text !== undefined && { text }),
      ...(because !== undefined && { because }),
    };
    return marks.at(part, origin);
  });
  return marks.at(
    { bounds: Object.fromEntries(bounds), conditions: inFixedOrder(conditions) },
    patients.origin,
  );
}

function cuffsPart(marks: Marks, set: CuffSet): FileCuffs {
  const { pressure, ceiling, fits, occlusion, place } = set;
  const part: FileCuffs = {
    place: place?.value ?? "upper-arm",
    cuffs: set.cuffs.map((cuff) => marks.at(cuffPart(cuff), cuff.origin)),
    ...(pressure && { pressure: formulaOf(marks, pressure.node) }),
    ...(ceiling && { ceiling: marks.at(fileQuantity<"mm[Hg]">(ceiling), ceiling.origin) }),
    ...(fits && { fits: marks.at(fileRange<"cm">(fits), fits.origin) }),
    ...(occlusion && { occlusion: formulaOf(marks, occlusion.node) }),
  };
  return marks.at(part, set.origin, { place: place?.origin });
}

function timerPart(marks: Marks, timer: Timer): FileTimer {
  const { name, from, atLeast, atMost } = timer;
  const part: FileTimer = {
    name,
    ...(from && { from: marks.at(momentPart(from), from.origin) }),
    ...(atLeast && { atLeast: marks.at(fileQuantity<"min">(atLeast), atLeast.origin) }),
    ...(atMost && { atMost: marks.at(fileQuantity<"min">(atMost), atMost.origin) }),
  };
  return marks.at(part, timer.origin, { name: timer.nameOrigin });
}

function itemPart(item: PrepareItem): FilePrepareItem {
  switch (item.kind) {
    case "iv-access":
      return { kind: item.kind, place: item.place };
    case "monitoring": {
      const { kind, monitors, every } = item;
      return { kind, monitors: [...monitors], ...(every && { every: fileQuantity(every) }) };
    }
    case "at-hand":
      return { kind: item.kind, agents: item.agents.map(({ name }) => name), texts: [...item.texts] };
    case "staff":
      return { kind: item.kind, count: item.count };
    case "site-marked":
      return { kind: item.kind };
    case "text":
      return { kind: item.kind, text: item.text };
  }
}
