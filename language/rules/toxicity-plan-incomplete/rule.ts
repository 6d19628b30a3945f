import type { Repair } from "@limbwright/shared/finding";
import {
  allHandlers,
  type Emergency,
  type Protocol,
  stepsReached,
  type TaskTopic,
} from "../../model/index.ts";
import { insertBefore } from "../../model/text-changes.ts";
import type { Rule } from "../engine/definition.ts";
import { combine, found, HOLDS, type Judgement, undecided } from "../engine/judgement.ts";
import {
  answersToxicity,
  emergenciesFrom,
  isInfusion,
  lipidDosesGiven,
} from "../facts/emergencies-reached.ts";

export const rule: Rule = {
  judge: ({ protocol }) => judge(protocol),
};

function judge(protocol: Protocol): Judgement {
  const answers = allHandlers(protocol).filter(answersToxicity);
  const emergencies = emergenciesFrom(protocol, answers);
  if (emergencies.length === 0) {
    return undecided("nothing leads from signs of toxicity to an emergency that could be judged");
  }
  return combine(emergencies.map((emergency) => judgeEmergency(protocol, emergency)));
}

function judgeEmergency(protocol: Protocol, emergency: Emergency): Judgement {
  const missing = [...missingLipid(protocol, emergency), ...missingTasks(emergency)];
  if (missing.length === 0) return HOLDS;
  if (protocol.incomplete)
    return undecided("part of the emergency may not have been understood", emergency.origin);
  return found({
    origin: emergency.nameOrigin,
    what: `The emergency \`${emergency.name}\`, to which signs of toxicity lead, lacks ${missing.map(({ what }) => what).join("; ")}.`,
    label: missing.length === 1 ? "1 thing is missing" : `${missing.length} things are missing`,
    next: `Add ${missing.map(({ line }) => line).join(", ")}.`,
    repairs: withTasks(emergency, missing),
  });
}

interface Missing {
  readonly what: string;
  readonly line: string;
  /** The task that would say it; undefined for what takes more than one line. */
  readonly task?: string;
}

/** Only tasks are missing: what a lipid dose gives is for pharmacy to write. */
function withTasks({ steps }: Emergency, missing: readonly Missing[]): Repair[] {
  const [first] = steps;
  const tasks = missing.flatMap(({ task }) => task ?? []);
  return first && tasks.length === missing.length ? insertBefore(first.origin, ...tasks) : [];
}

function missingLipid(protocol: Protocol, emergency: Emergency): Missing[] {
  const doses = lipidDosesGiven(protocol, emergency);
  const missing: Missing[] = [];
  if (!doses.some((dose) => !isInfusion(dose))) {
    missing.push({
      what: "a bolus of lipid emulsion",
      line: "`dose lipid-bolus of lipid-emulsion { … }` and `give lipid-bolus`",
    });
  }
  if (!doses.some(isInfusion)) {
    missing.push({
      what: "an infusion of lipid emulsion",
      line: "`dose lipid-infusion of lipid-emulsion { … }` and `give lipid-infusion`",
    });
  }
  return missing;
}

const TASKS: readonly (readonly [TaskTopic, string, string])[] = [
  ["help", "a call for help", "Call for help"],
  ["oxygen", "oxygen and the airway", "Oxygen, airway"],
  ["cuff-decision", "who decides on the cuff", "Cuff release is decided by the anaesthetist in charge"],
];

function missingTasks(emergency: Emergency): Missing[] {
  const topics = new Set(
    [...stepsReached(emergency.steps)].flatMap((step) => (step.kind === "task" ? [step.topic] : [])),
  );
  return TASKS.filter(([topic]) => !topics.has(topic)).map(([topic, what, text]) => ({
    what,
    line: `\`task ${topic} "…"\``,
    task: `task ${topic} "${text}"`,
  }));
}
