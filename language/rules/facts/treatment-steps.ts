import {
  type Agent,
  canonicalName,
  doseGivenBy,
  isWork,
  type Protocol,
  TASK_TOPICS,
  type TaskTopic,
} from "../../model/index.ts";
import { agentsIn, isLocalAnaesthetic } from "./drugs.ts";
import { writtenTime } from "./longest-time.ts";
import type { StepOnTheWay } from "./ways.ts";

/** What was done on a way for a patient with signs of toxicity. */
export type FirstAid = ReadonlySet<TaskTopic>;

/** Which tasks may come between signs of toxicity and the first lipid. */
const FIRST_AID: Readonly<Record<TaskTopic, boolean>> = {
  "stop-injection": true,
  help: true,
  oxygen: true,
  seizure: true,
  arrest: true,
  pause: false,
  "cannula-check": false,
  "anaesthetic-decision": false,
  "cuff-decision": false,
};

/**
 * Whether a step may come between signs of toxicity and the first lipid: first aid, a cuff that is brought up or felt, and
 * the drugs of a seizure and of an arrest after the task that names it.
 */
export function mayComeFirst(step: StepOnTheWay, done: FirstAid, protocol: Protocol): boolean {
  if (step.kind === "task") return step.topic !== undefined && FIRST_AID[step.topic];
  if (isWork(step)) return false;
  switch (step.kind) {
    case "inflate":
    case "confirm":
      return true;
    case "give": {
      const dose = doseGivenBy(step, protocol);
      if (!dose || agentsIn(dose).some((agent) => !agent || isLocalAnaesthetic(agent))) return false;
      return (
        (done.has("seizure") && agentsIn(dose).every(stopsSeizures)) ||
        (done.has("arrest") && agentsIn(dose).every(isAdrenaline))
      );
    }
    case "deflate":
    case "inject":
    case "wait":
    case "wait-for":
    case "watch":
    case "recovery":
      return false;
  }
}

export function withFirstAid(done: FirstAid, step: StepOnTheWay): FirstAid {
  if (step.kind !== "task" || step.topic === undefined || done.has(step.topic)) return done;
  return new Set([...done, step.topic]);
}

/** Benzodiazepines; codes as the World Health Organization's index of ATC codes lists them, from memory. */
const SEIZURE_NAMES: ReadonlySet<string> = new Set(["midazolam", "lorazepam", "diazepam", "clonazepam"]);
const SEIZURE_CODES = ["N05BA", "N05CD", "N03AE"];

function stopsSeizures(agent: Agent | undefined): boolean {
  if (!agent) return false;
  const code = agent.atc?.value.toUpperCase() ?? "";
  return (
    SEIZURE_NAMES.has(canonicalName(agent.name)) || SEIZURE_CODES.some((group) => code.startsWith(group))
  );
}

function isAdrenaline(agent: Agent | undefined): boolean {
  if (!agent) return false;
  return (
    canonicalName(agent.name) === canonicalName("adrenaline") || agent.atc?.value.toUpperCase() === "C01CA24"
  );
}

/** Whether help was called and oxygen given. */
export function hasFirstAid(done: FirstAid): boolean {
  return done.has("help") && done.has("oxygen");
}

/** Every task that may come first. */
export const ALL_FIRST_AID: FirstAid = new Set(TASK_TOPICS.filter((topic) => FIRST_AID[topic]));

/** Whether a patient with signs who is being watched may have a step: no drug, no release, and nobody waits without watching. */
export function isAllowedWhileWatched(step: StepOnTheWay): boolean {
  if (isWork(step)) return true;
  switch (step.kind) {
    case "inflate":
    case "confirm":
    case "watch":
    case "recovery":
      return true;
    case "deflate":
    case "inject":
    case "give":
    case "wait":
    case "wait-for":
      return false;
  }
}

/** The same of a step while a patient is watched, where a task without a topic may go on for ever. */
export function timeWhileWatched(step: StepOnTheWay, protocol: Protocol): number {
  const isOpen = step.kind === "task" && step.topic === undefined && !step.takes;
  return isOpen ? Number.POSITIVE_INFINITY : writtenTime(step, protocol);
}
