import type { Repair } from "@limbwright/shared/finding";
import type { Agent } from "../../model/index.ts";
import { linesBefore, needsALook } from "../../model/text-changes.ts";
import type { Rule } from "../engine/definition.ts";
import type { Detected } from "../engine/judgement.ts";
import { isLocalAnaesthetic, isVasoconstrictor } from "../facts/drugs.ts";
import { findInjectedDrugs, type InjectedDrug, tellUnknownKinds } from "../facts/injected-drugs.ts";

export const rule: Rule = {
  judge: ({ protocol }) => {
    const drugs = findInjectedDrugs(protocol);
    const anaesthetics = drugs.filter(({ agent }) => isLocalAnaesthetic(agent));
    return {
      found: [...firstOfEach(anaesthetics).flatMap(lackOf), ...drugs.flatMap(narrowingOf)],
      undecided: tellUnknownKinds(drugs),
    };
  },
};

/** Each agent once, with the first dose that injects it. */
function firstOfEach(drugs: readonly InjectedDrug[]): InjectedDrug[] {
  return drugs.filter((drug, at) => drugs.findIndex(({ agent }) => agent === drug.agent) === at);
}

function lackOf({ agent, dose, origin }: InjectedDrug): Detected[] {
  if (!agent) return [];
  const missing = [
    ...(agent.plain ? [] : ["plain"]),
    ...(agent.preservativeFree ? [] : ["preservative-free"]),
  ];
  if (missing.length === 0) return [];
  const words = missing.map((word) => `\`${word}\``).join(" and ");
  return [
    {
      origin: agent.nameOrigin,
      what: `\`${dose.name}\` injects ${agent.name}, but the formulary does not say that it is ${words}.`,
      label: `not said to be ${missing.join(" and ")}`,
      next: `Look at the ampoule. If it is so, write ${words} (\`plain\` means without adrenaline); if not, name another product.`,
      repairs: writeMissing(agent, missing),
      related: [{ origin, note: "injected here" }],
    },
  ];
}

/** Adrenaline and the like in the syringe, mixed in or alone, whatever the formulary says of the anaesthetic. */
function narrowingOf({ agent, dose, origin, step, isMixedIn }: InjectedDrug): Detected[] {
  if (!agent || !isVasoconstrictor(agent)) return [];
  return [
    {
      origin,
      what: `\`${dose.name}\` ${isMixedIn ? "mixes in" : "is"} ${agent.name}, which narrows vessels: what is injected is not plain.`,
      label: "narrows vessels",
      next: isMixedIn ? "Take it out of the dose." : "Inject a plain local anaesthetic.",
      related: [
        { origin: step.origin, note: "injected here" },
        { origin: agent.nameOrigin, note: "the agent" },
      ],
    },
  ];
}

function writeMissing({ kind }: Agent, missing: readonly string[]): Repair[] {
  return kind ? needsALook(`Say that it is ${missing.join(" and ")}`, linesBefore(kind.origin, missing)) : [];
}
