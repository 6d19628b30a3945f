import type { Repair, TextChange } from "@limbwright/shared/finding";
import { agentsOf, type DeclaredEvent, type Protocol, type Step, stepsWithin } from "../../model/index.ts";
import { lineAfter, linesBefore, needsALook } from "../../model/text-changes.ts";
import { isMethylthioninium } from "../facts/drugs.ts";
import { placeOfSection } from "../facts/step-repairs.ts";

const EMERGENCY = "methaemoglobinaemia";
const DOSE = "methylthioninium-dose";
const EVENT = "methaemoglobin-signs";

/**
 * A whole plan, by the formulary that the page cites; only with methylthioninium and its syringe in the
 * formulary, and where its names are free.
 */
export function repairByPlan(protocol: Protocol): Repair[] {
  const [agent, another] = protocol.agents.filter(isMethylthioninium);
  const place = placeOfSection(protocol);
  const isTaken =
    protocol.emergencies.some(({ name }) => name === EMERGENCY) ||
    protocol.doses.some(({ name }) => name === DOSE);
  const event = eventFor(protocol);
  if (!agent || another || agent.concentrations.length !== 1 || !agent.syringe || !place || isTaken || !event)
    return [];
  const title = `Write a plan for methaemoglobinaemia, which \`${event.name}\` leads to`;
  const recovery = onlyRecovery(protocol);
  if (!recovery) return [];
  return needsALook(
    title,
    ...event.declared,
    ...atHand(protocol, agent.name),
    ...inForceAround(recovery, event.name),
    linesBefore(place, planWith(agent.name)),
  );
}

/** The one recovery of the plan, where it is a line of `steps` that says nothing more. */
function onlyRecovery({ steps = [] }: Protocol): Step | undefined {
  const [recovery, another] = [...stepsWithin(steps)].filter(({ kind }) => kind === "recovery");
  const isBare = recovery?.notes.length === 0 && recovery.roles.length === 0;
  return isBare && !another && steps.includes(recovery) ? recovery : undefined;
}

/** In force in recovery, as methaemoglobin comes after the release, and what treats it there lets no cuff be forgotten. */
function inForceAround({ origin }: Step, event: string): TextChange[] {
  const opening = ["stage late-signs {", `  when ${event} {`, `    go to emergency ${EMERGENCY}`, "  }"];
  return [linesBefore(origin, opening), lineAfter(origin, "}")];
}

/** 1 mg/kg over 5 min, again after 30 min: the least that the published texts agree on. */
function planWith(agent: string): string[] {
  return [
    `emergency ${EMERGENCY} "Methaemoglobinaemia" {`,
    `  dose ${DOSE} of ${agent} {`,
    "    amount 1 mg/kg",
    "    over   5 min",
    '    repeat 1 times every 30 min if "still over 20 % with symptoms"',
    "  }",
    '  task help   "Call for help; send blood for co-oximetry"',
    '  task oxygen "Oxygen"',
    '  task "Ask about G6PD deficiency and serotonergic drugs"',
    `  give ${DOSE}`,
    "  recovery 60 min",
    "}",
    "",
  ];
}

/** An event of the hospital that is about it and that nothing answers yet, else one that is declared before the protocol. */
function eventFor(protocol: Protocol): { name: string; declared: TextChange[] } | undefined {
  const [about, another] = protocol.declaredEvents.filter(isOfMethaemoglobin);
  const name = about?.name ?? EVENT;
  const isAnswered = protocol.throughout.some((one) => one.kind === "event" && one.event === name);
  if (another || isAnswered) return undefined;
  const words = `event ${EVENT} "Blue-grey colour, saturation about 85 % whatever the oxygen"`;
  return { name, declared: about ? [] : [linesBefore(protocol.origin, [words, ""])] };
}

function isOfMethaemoglobin({ name, title = "" }: DeclaredEvent): boolean {
  return /methaemoglobin|methemoglobin|blue|cyanos/i.test(`${name} ${title}`);
}

/** Whoever has to give it has it there, where the protocol says what is at hand. */
function atHand(protocol: Protocol, agent: string): TextChange[] {
  const item = protocol.preparation?.items.find(({ kind }) => kind === "at-hand");
  const isThere = agentsOf({ ...protocol, doses: [] }).some(isMethylthioninium);
  return item && !isThere ? [linesBefore(item.origin, [`at-hand ${agent}`])] : [];
}
