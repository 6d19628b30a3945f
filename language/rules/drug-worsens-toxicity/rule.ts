import { amountText } from "@limbwright/shared/quantity";
import { type Agent, canonicalName, type Dose, isAgent } from "../../model/index.ts";
import { type Expression, regionsText } from "../../population/index.ts";
import type { Rule, RuleContext } from "../engine/definition.ts";
import { evidenceOf, judgePatients, perWeightText } from "../engine/evidence.ts";
import { combine, found, HOLDS, type Judgement, undecided } from "../engine/judgement.ts";
import { singleAmount } from "../facts/cumulative.ts";
import { toxicityAnswers } from "../facts/emergencies-reached.ts";

export const rule: Rule = {
  judge: (context) => {
    const steps = toxicityAnswers(context.protocol).flatMap((answer) => answer.steps);
    const given = new Set(steps.flatMap((step) => (step.kind === "give" ? [step.dose] : [])));
    const doses = context.protocol.doses.filter(({ name }) => given.has(name));
    return combine(doses.map((dose) => judgeDose(dose, context)));
  },
};

function judgeDose(dose: Dose, context: RuleContext): Judgement {
  const { agent } = dose;
  if (!agent) return HOLDS;
  if (isAdrenaline(agent)) return judgeAdrenaline(dose, context);
  const group = GROUPS.find((one) => isOf(one, agent));
  if (!group) return HOLDS;
  return found({
    origin: dose.agentOrigin,
    what: `\`${dose.name}\` gives ${agent.name} while toxicity is treated; published advice is to avoid ${group.says} there.`,
    label: "not in local anaesthetic toxicity",
    next: "Leave it out; treat low blood pressure or an arrhythmia by the published scheme that your hospital follows.",
  });
}

function judgeAdrenaline(dose: Dose, context: RuleContext): Judgement {
  const amount = singleAmount(dose, "mass");
  const most = context.parameter("most-adrenaline");
  if (!amount)
    return undecided(`how much adrenaline \`${dose.name}\` gives at once is not known`, dose.origin);
  const limit: Expression = {
    kind: "scaled",
    factor: most.value,
    of: { kind: "variable", variable: "weight" },
  };
  const asked = { amount, is: "at-most", limit, measure: "per-weight" } as const;
  const perKilogram = amountText(most.value, most.unit);
  return judgePatients(context, { ...asked, box: context.box, origin: dose.origin }, (broken) => ({
    origin: dose.amount?.origin ?? dose.origin,
    what: `\`${dose.name}\` gives more adrenaline than ${perKilogram} at once while toxicity is treated: ${regionsText(broken.regions)}.`,
    label: `over ${perKilogram}`,
    next: `Give small doses, ${perKilogram} at most each; or accept it with the reason, where the hospital resuscitates by its usual doses.`,
    patients: evidenceOf(broken, (witness) => perWeightText(witness, "mcg")),
  }));
}

function isAdrenaline(agent: Agent): boolean {
  return isAgent(agent, "adrenaline", "C01CA24") || isAgent(agent, "epinephrine", "C01CA24");
}

/** Drugs of a group, by the beginning of their codes in the Anatomical Therapeutic Chemical classification, and by name. */
interface Group {
  readonly says: string;
  readonly codes: readonly string[];
  readonly names: readonly string[];
}

const GROUPS: readonly Group[] = [
  {
    says: "vasopressin",
    codes: ["H01BA"],
    names: ["vasopressin", "argipressin", "terlipressin"],
  },
  {
    says: "beta blockers",
    codes: ["C07"],
    names: [
      "propranolol",
      "metoprolol",
      "atenolol",
      "bisoprolol",
      "esmolol",
      "labetalol",
      "sotalol",
      "landiolol",
    ],
  },
  {
    says: "calcium channel blockers",
    codes: ["C08"],
    names: ["verapamil", "diltiazem", "nifedipine", "nicardipine", "amlodipine", "clevidipine"],
  },
];

function isOf({ codes, names }: Group, { name, atc }: Agent): boolean {
  const code = atc?.value.toUpperCase() ?? "";
  return names.includes(canonicalName(name)) || codes.some((start) => code.startsWith(start));
}
