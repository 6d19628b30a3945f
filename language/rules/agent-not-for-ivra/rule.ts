import type { Related } from "@limbwright/shared/finding";
import type { Agent } from "../../model/index.ts";
import type { Rule } from "../engine/definition.ts";
import { combine, found, HOLDS, type Judgement, undecided } from "../engine/judgement.ts";
import {
  findRefusedDrug,
  isAcceptedDrug,
  isKnownAnaesthetic,
  isListedAnaesthetic,
  isLocalAnaesthetic,
  isOtherDrug,
} from "../facts/drugs.ts";
import { findInjectedDrugs, type InjectedDrug, tellUnknownKinds } from "../facts/injected-drugs.ts";
import { dangerOf, isDiluent, publishedMixture } from "../facts/mixed-in-drugs.ts";

export const rule: Rule = {
  judge: ({ protocol }) => {
    const drugs = findInjectedDrugs(protocol);
    return combine([...drugs.map(judgeDrug), { found: [], undecided: tellUnknownKinds(drugs) }]);
  },
};

function judgeDrug(drug: InjectedDrug): Judgement {
  const { agent } = drug;
  if (!agent) return HOLDS;
  const refused = findRefusedDrug(agent);
  if (refused) {
    const { name, because } = refused.drug;
    const isSo = agent.name === name ? "" : `it is ${name} ${refused.by}, and `;
    return refusal(drug, agent, `${isSo}${because}.`);
  }
  if (agent.contraindicated) {
    const reason = agent.contraindicated.value;
    return refusal(drug, agent, `the formulary says it is contraindicated${reason && `: "${reason}"`}.`, {
      origin: agent.contraindicated.origin,
      note: "contraindicated here",
    });
  }
  if (isUnknownAnaesthetic(drug, agent)) return unknownDrug(drug, agent);
  const isAdjuvant = agent.kind?.value === "adjuvant" && !isKnownAnaesthetic(agent);
  const isKnown = isAcceptedDrug(agent) || isAdjuvant || !agent.kind;
  return isKnown ? HOLDS : undecided(unknownText(agent), drug.origin);
}

/**
 * Whether an agent is injected for the block that nobody knows, by name or by code: the formulary alone makes it a local
 * anaesthetic, or does not say what it is.
 */
function isUnknownAnaesthetic({ isMixedIn }: InjectedDrug, agent: Agent): boolean {
  if (isListedAnaesthetic(agent) || isOtherDrug(agent) || publishedMixture(agent) || isDiluent(agent))
    return false;
  return isLocalAnaesthetic(agent) || (agent.kind === undefined && !isMixedIn && !dangerOf(agent));
}

function unknownDrug({ dose, origin, step, isMixedIn }: InjectedDrug, agent: Agent): Judgement {
  return found({
    origin,
    what: `\`${dose.name}\` ${isMixedIn ? "mixes in" : "is"} ${agent.name}, a drug that is known here neither by its name nor by its ATC code; so nothing says how much of it is safe.`,
    label: "not a known drug",
    next: "Correct its name and its ATC code, or use plain lidocaine or prilocaine 0.5 %. This finding cannot be accepted.",
    related: [
      { origin: step.origin, note: "injected here" },
      { origin: agent.nameOrigin, note: "the agent" },
    ],
  });
}

function refusal(
  { dose, origin, step, isMixedIn }: InjectedDrug,
  agent: Agent,
  reason: string,
  more?: Related,
) {
  return found({
    origin,
    what: `\`${dose.name}\` ${isMixedIn ? "mixes in" : "is"} ${agent.name}, which is not for intravenous regional anaesthesia: ${reason}`,
    label: "not for intravenous regional anaesthesia",
    next: "Use an agent that is meant for it, such as plain lidocaine or prilocaine 0.5 %. This finding cannot be accepted.",
    related: [
      { origin: step.origin, note: "injected here" },
      { origin: agent.nameOrigin, note: "the agent" },
      ...(more ? [more] : []),
    ],
  });
}

function unknownText(agent: Agent): string {
  const code = agent.atc ? ` with the ATC code ${agent.atc.value}` : "";
  return `whether ${agent.name}${code} may be used for intravenous regional anaesthesia is not known here; only lidocaine and prilocaine are`;
}
