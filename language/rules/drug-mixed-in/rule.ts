import type { Repair } from "@limbwright/shared/finding";
import { type MassUnit, quantityText } from "@limbwright/shared/quantity";
import { type Agent, type Maximum, massUnitMixedIn, massUnitOf } from "../../model/index.ts";
import { needsALook } from "../../model/text-changes.ts";
import { type Expression, regionsText } from "../../population/index.ts";
import type { Rule, RuleContext } from "../engine/definition.ts";
import { evidenceOf, judgePatients } from "../engine/evidence.ts";
import { combine, type Detected, found, HOLDS, type Judgement, undecided } from "../engine/judgement.ts";
import { isKnownAnaesthetic, isLocalAnaesthetic, isVasoconstrictor } from "../facts/drugs.ts";
import { findInjectedDrugs, type InjectedDrug } from "../facts/injected-drugs.ts";
import { overText, withinLimit } from "../facts/maximum.ts";
import { dangerOf, isDiluent, type PublishedMixture, publishedMixture } from "../facts/mixed-in-drugs.ts";

export const rule: Rule = {
  judge: (context) => combine(findInjectedDrugs(context.protocol).map((drug) => judgeDrug(drug, context))),
};

/** What is injected beside the local anaesthetic: mixed into it, or by an injection of its own. */
function judgeDrug(drug: InjectedDrug, context: RuleContext): Judgement {
  const { agent } = drug;
  if (!agent) return undecided(`a drug of \`${drug.dose.name}\` is not known`, drug.origin);
  // Of local anaesthetics and of what narrows vessels other rules tell.
  if (isKnownAnaesthetic(agent) || isVasoconstrictor(agent) || isDiluent(agent)) return HOLDS;
  const published = publishedMixture(agent);
  const danger = dangerOf(agent);
  if (danger && !published?.doubt) {
    const next = "Take it out. It is nothing to inject into a limb behind a cuff.";
    return found(
      tell(drug, agent, { severity: "unsafe", label: danger.label, says: `which ${danger.because}`, next }),
    );
  }
  if (published) return judgePublished(drug, agent, published, context);
  return isLocalAnaesthetic(agent) ? HOLDS : found(tellUnknown(drug, agent));
}

function judgePublished(
  drug: InjectedDrug,
  agent: Agent,
  published: PublishedMixture,
  context: RuleContext,
): Judgement {
  const amount = judgeAmount(drug, agent, published, context);
  if (!published.doubt || amount.found.length > 0) return amount;
  return combine([amount, found(tellParalysing(drug, agent))]);
}

function judgeAmount(
  drug: InjectedDrug,
  agent: Agent,
  { most, doubt }: PublishedMixture,
  context: RuleContext,
): Judgement {
  if (!most) return HOLDS;
  const amount = massOf(drug);
  if (!amount) return undecided(`how much ${agent.name} is injected is not known`, drug.origin);
  const limit: Maximum = { limit: { ...most, origin: drug.origin }, origin: drug.origin };
  return judgePatients(context, { ...withinLimit(amount, limit), origin: drug.origin }, (broken) => ({
    ...tell(drug, agent, {
      severity: doubt ? "unsafe" : "doubtful",
      label: `more than the ${quantityText(most)} of any trial`,
      says: `more than the ${quantityText(most)} that trials of this block mixed in: ${regionsText(broken.regions)}`,
      next: doubt
        ? "Take it out: in this amount it paralyses whomever it reaches."
        : "Lower it to what was tried, or accept it in the local rules, with the reason for more.",
    }),
    patients: evidenceOf(broken, (witness) => overText(witness, limit, toldIn(drug))),
  }));
}

function toldIn({ dose, origin, isMixedIn }: InjectedDrug): MassUnit {
  const adjuvant = isMixedIn ? dose.adjuvants.find((one) => one.origin === origin) : undefined;
  return adjuvant ? massUnitMixedIn(adjuvant) : massUnitOf(dose);
}

function massOf({ agent, dose, origin, isMixedIn }: InjectedDrug): Expression | undefined {
  if (!isMixedIn) return dose.mass;
  return dose.adjuvants.find((one) => one.agent === agent && one.origin === origin)?.mass;
}

function tellParalysing(drug: InjectedDrug, agent: Agent): Detected {
  return tell(drug, agent, {
    severity: "doubtful",
    label: "paralyses",
    says: "which paralyses: trials gave as little, and it is for whoever can take over the breathing",
    next: "Leave it out, or accept it in the local rules, with who is there to ventilate.",
  });
}

function tellUnknown(drug: InjectedDrug, agent: Agent): Detected {
  return tell(drug, agent, {
    severity: "doubtful",
    label: "no published use",
    says: "of which no published use in intravenous regional anaesthesia is known here",
    next: "Take it out, or correct its name and its ATC code; or accept it in the local rules, with what it is for and where that is published.",
  });
}

function takeOut({ origin, dose }: InjectedDrug, { name }: Agent): Repair[] {
  return needsALook(`Take ${name} out of ${dose.name}`, { origin, text: "" });
}

interface Told extends Required<Pick<Detected, "severity" | "label" | "next">> {
  /** What follows the name of the drug. */
  readonly says: string;
}

function tell(drug: InjectedDrug, agent: Agent, { severity, label, says, next }: Told): Detected {
  return {
    origin: drug.origin,
    what: `\`${drug.dose.name}\` ${drug.isMixedIn ? "mixes in" : "is"} ${agent.name}, ${says}.`,
    severity,
    label,
    next,
    repairs: drug.isMixedIn ? takeOut(drug, agent) : [],
    related: [
      { origin: drug.step.origin, note: "injected here" },
      { origin: agent.nameOrigin, note: "the agent" },
    ],
  };
}
