import type { Repair } from "@limbwright/shared/finding";
import type { Agent } from "../../model/index.ts";
import { linesBefore, needsALook } from "../../model/text-changes.ts";
import type { Rule } from "../engine/definition.ts";
import type { Detected } from "../engine/judgement.ts";
import { isCombinationByCode, isLocalAnaesthetic, isVasoconstrictor } from "../facts/drugs.ts";
import { findInjectedDrugs, type InjectedDrug, tellUnknownKinds } from "../facts/injected-drugs.ts";
import { type NamedInSolution, namedInSolution } from "../facts/solution-words.ts";

export const rule: Rule = {
  judge: ({ protocol }) => {
    const drugs = findInjectedDrugs(protocol);
    const anaesthetics = drugs.filter(({ agent }) => isLocalAnaesthetic(agent));
    return {
      found: [
        ...firstOfEach(anaesthetics).flatMap((drug) => [...lackOf(drug), ...combinedOf(drug)]),
        ...firstOfEach(drugs).flatMap(saidToHold),
        ...drugs.flatMap(narrowingOf),
      ],
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

/** What the formulary itself says is in the solution, whatever else it calls it. */
function saidToHold({ agent, dose, origin }: InjectedDrug): Detected[] {
  if (!agent || isVasoconstrictor(agent)) return [];
  // Of what paralyses or is potassium by itself, mixed in, another rule tells.
  const own = isLocalAnaesthetic(agent);
  return namedInSolution(agent)
    .filter(({ is, where }) => own || is === "narrows vessels" || where === "what it is diluted with")
    .map((named) => tellHeld(named, agent, dose.name, origin));
}

function tellHeld(
  named: NamedInSolution,
  agent: Agent,
  dose: string,
  injected: Detected["origin"],
): Detected {
  return {
    origin: named.origin,
    what: `\`${dose}\` injects ${agent.name}; ${named.where} says "${named.word}": ${SAYS[named.is]}.`,
    label: `"${named.word}" in ${named.where}`,
    next: "Look at the ampoule. If it holds that, name another product; if not, correct the words.",
    related: [{ origin: injected, note: "injected here" }],
  };
}

const SAYS: Readonly<Record<NamedInSolution["is"], string>> = {
  "narrows vessels": "that narrows vessels, and the solution is not plain",
  potassium: "that stops the heart when the cuff fails or is let down",
  "a preservative": "that is a preservative",
  paralyses: "that paralyses, and stops the breathing at the release",
};

/** A code for the anaesthetic together with other drugs, of which adrenaline is the usual one. */
function combinedOf({ agent, dose, origin }: InjectedDrug): Detected[] {
  if (!agent?.atc || !isCombinationByCode(agent)) return [];
  return [
    {
      origin: agent.atc.origin,
      what: `\`${dose.name}\` injects ${agent.name}, whose ATC code ${agent.atc.value} is that of a combination, as a rule with adrenaline.`,
      label: "a combination, by its code",
      next: "Look at the ampoule. If it is plain, write the code of the plain drug; if not, name another product.",
      related: [{ origin, note: "injected here" }],
    },
  ];
}

function writeMissing({ kind }: Agent, missing: readonly string[]): Repair[] {
  return kind ? needsALook(`Say that it is ${missing.join(" and ")}`, linesBefore(kind.origin, missing)) : [];
}
