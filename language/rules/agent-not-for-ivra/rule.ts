import type { Related } from "@limbwright/shared/finding";
import type { Agent } from "../../model/index.ts";
import { combine, found, HOLDS, type Judgement, type Rule, undecided } from "../engine/definition.ts";
import { findInjectedDrugs, type InjectedDrug, tellUnknownKinds } from "../facts/injected-drugs.ts";
import { findRefusedDrug, isAcceptedDrug, isKnownAnaesthetic } from "../facts/other-drugs.ts";

export const rule: Rule = {
  id: "agent-not-for-ivra",
  title: "Nothing is injected that is not for intravenous regional anaesthesia",
  group: "dose",
  severity: "unsafe",
  acceptable: false,
  why: "If the cuff fails, the whole dose reaches the heart; some local anaesthetics stop it at doses that others are given in.",
  sources: [
    {
      source: "bupivacaine-label",
      says: "contraindicated for intravenous regional anaesthesia; warning 5.7 tells of cardiac arrest with that use",
    },
    { source: "bupivacaine-label-other-maker", says: "the same contraindication" },
    { source: "bupivacaine-label-older", says: "not recommended for intravenous regional anaesthesia" },
    {
      source: "emergency-reference",
      says: "contraindications to the block: bupivacaine is absolutely contraindicated",
    },
    { source: "guay-2009", says: "lowest dose with an arrest: lidocaine 2.5 mg/kg, bupivacaine 1.6 mg/kg" },
    { source: "levobupivacaine-information", says: "contraindicated for intravenous regional anaesthesia" },
    {
      source: "ropivacaine-label",
      says: "do not use for intravenous regional anaesthesia: insufficient data (the copy reports it; its wording is from memory)",
    },
    {
      source: "ropivacaine-volunteers-1999",
      says: "ropivacaine 0.2 %, 40 mL, and 1.2 and 1.8 mg/kg, in volunteers only: trials exist against the label",
    },
    { source: "harris-1965", says: "chloroprocaine, an old preparation: thrombophlebitis in 4 of 51" },
    { source: "marsch-2004", says: "chloroprocaine 0.5 or 1 %, 40 mL: later trials exist" },
    {
      source: "ropivacaine-comparison",
      says: "lidocaine is called the only agent that the US regulator approved for it (a statement of the 1990s)",
    },
    {
      source: "prilocaine-characteristics",
      says: "the label lists infiltration and nerve block, and not this block: a 0.5 % dilution may be outside its licence (the inference is ours)",
    },
    {
      source: "atc-amides",
      says: "bupivacaine N01BB01, lidocaine N01BB02, prilocaine N01BB04, ropivacaine N01BB09, levobupivacaine N01BB10",
    },
    { source: "atc-chloroprocaine", says: "the code of chloroprocaine" },
  ],
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
  const isAdjuvant = agent.kind?.value === "adjuvant" && !isKnownAnaesthetic(agent);
  const isKnown = isAcceptedDrug(agent) || isAdjuvant || !agent.kind;
  return isKnown ? HOLDS : undecided(unknownText(agent), drug.origin);
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
