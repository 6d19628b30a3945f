import type { Repair } from "@limbwright/shared/finding";
import { inBase } from "@limbwright/shared/quantity";
import type { Emergency, Handler, Protocol } from "../../model/index.ts";
import { linesBefore, needsALook, writeInstead } from "../../model/text-changes.ts";
import { isOfToxicitySigns } from "../../runs/index.ts";
import { isLipidEmulsion } from "../facts/drugs.ts";
import { isInfusion, lipidDosesGiven } from "../facts/emergencies-reached.ts";
import { placeOfSection, writeInThroughout } from "../facts/step-repairs.ts";
import { STRENGTH, UK } from "../rescue-dose-differs/schemes.ts";

/** The repair that answers signs of toxicity at all: by the emergency that treats them, or by one that is written with it. */
export function repairByAnswering(protocol: Protocol): Repair[] {
  const treating = protocol.emergencies.filter((emergency) => treats(protocol, emergency));
  const [only, another] = treating;
  if (only && !another) return leadTo(protocol, only.name);
  return protocol.emergencies.length === 0 ? writePlan(protocol) : [];
}

/** An answer without what kept it out of force at some moments. */
export function repairByAnsweringAlways({ origin, kind }: Handler): Repair[] {
  return kind === "event" ? writeInstead(origin, "when toxicity-signs") : [];
}

/** The same emergency in force throughout, where an answer in a stage does nothing but go to it. */
export function repairByAnsweringThroughout(protocol: Protocol, { steps }: Handler): Repair[] {
  const [first, more] = steps;
  const isFree = !protocol.throughout.some(isOfToxicitySigns);
  return isFree && !more && first?.kind === "go-to-emergency" ? leadTo(protocol, first.emergency) : [];
}

function leadTo(protocol: Protocol, emergency: string): Repair[] {
  const lines = ["when toxicity-signs {", `  go to emergency ${emergency}`, "}"];
  return writeInThroughout(
    protocol,
    `Write in throughout that signs of toxicity lead to ${emergency}`,
    lines,
  );
}

/** A bolus and an infusion of lipid: any less is no emergency for toxicity. */
function treats(protocol: Protocol, emergency: Emergency): boolean {
  const doses = lipidDosesGiven(protocol, emergency);
  return doses.some(isInfusion) && doses.some((dose) => !isInfusion(dose));
}

/** A whole plan, by the UK scheme; only with the lipid emulsion of its strength in the formulary, and where its names are free. */
function writePlan(protocol: Protocol): Repair[] {
  const lipid = protocol.agents.find(
    (agent) =>
      isLipidEmulsion(agent) &&
      agent.concentrations.length === 1 &&
      agent.concentrations.every((one) => inBase(one).equals(STRENGTH)),
  );
  const isTaken = protocol.doses.some(({ name }) => name.startsWith("lipid-"));
  const place = placeOfSection(protocol);
  const [answer] = leadTo(protocol, "toxicity");
  if (!lipid || isTaken || !place || !answer) return [];
  const { bolus, time, rate, total } = UK.written;
  const plan = [
    'emergency toxicity "Local anaesthetic systemic toxicity" {',
    `  dose lipid-bolus of ${lipid.name} {`,
    `    amount ${bolus}`,
    `    over   ${time}`,
    '    repeat 2 times every 5 min if "still unstable"',
    "  }",
    `  dose lipid-infusion of ${lipid.name} {`,
    `    rate  ${rate}`,
    `    total up to ${total}`,
    "  }",
    '  task help    "Call for help"',
    '  task oxygen  "Oxygen, airway"',
    '  task seizure "Fitting: stop the seizure"',
    '  task arrest  "No pulse: resuscitate; it may take over an hour"',
    "  give lipid-bolus",
    "  give lipid-infusion",
    '  task cuff-decision "Cuff release is decided by the anaesthetist in charge" takes 10 s to 5 min',
    "}",
    "",
  ];
  const title = `Write a plan for toxicity, by the ${UK.name} scheme`;
  return needsALook(title, ...answer.changes, linesBefore(place, plan));
}
