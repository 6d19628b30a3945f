import { inBase, quantityText } from "@limbwright/shared/quantity";
import type { Dose } from "../../model/index.ts";
import {
  combine,
  type Detected,
  HOLDS,
  type Judgement,
  type Rule,
  type RuleContext,
  undecided,
} from "../engine/definition.ts";
import { type Difference, type Differences, differencesFrom } from "./differences.ts";
import { planOf, type RescuePlan } from "./plan.ts";
import { SCHEMES, STRENGTH } from "./schemes.ts";

export const rule: Rule = {
  id: "rescue-dose-differs",
  title: "The lipid emulsion is given as one published scheme has it",
  group: "readiness",
  severity: "doubtful",
  why: "Nobody works out a rescue dose during an arrest; what is written is given.",
  sources: [
    {
      source: "theatre-card",
      says: "20 % lipid emulsion 1.5 mL/kg over 1 min; 15 mL/kg/h; the same bolus at 5 and 10 min if unstable; 30 mL/kg/h at any time after 5 min; at most 12 mL/kg",
    },
    {
      source: "asra-2020-reported",
      says: "under 70 kg 1.5 mL/kg over 2 to 3 min, then 0.25 mL/kg/min; over 70 kg 100 mL over 2 to 3 min, then about 250 mL over 15 to 20 min; repeat the bolus or double the infusion; about 12 mL/kg over the first 30 min; a pump under 40 kg",
    },
    { source: "asra-2020", says: "the paper itself, its opening only" },
    {
      source: "asra-2020-remembered",
      says: "infusion of 200 to 250 mL; adrenaline at most 1 mcg/kg a dose: not judged by",
    },
    {
      source: "toxicity-card-2007",
      says: "at 70 kg prints 400 mL over 20 min, then 400 mL over 10 min for 0.25 and then 0.5 mL/kg/min, which are 350 mL each: not judged by",
    },
    { source: "antidote-handbook", says: "lipid only for refractory cardiotoxicity, not for seizures" },
    {
      source: "common-practice",
      says: "a difference of 5 % is taken for rounding: the UK card itself prints about 100 mL for 105 mL",
    },
  ],
  judge,
};

function judge(context: RuleContext): Judgement {
  const { protocol } = context;
  const plans = protocol.emergencies
    .map((emergency) => planOf(protocol, emergency))
    .filter(({ boluses, infusions }) => boluses.length + infusions.length > 0);
  if (plans.length === 0) return undecided("no emergency gives a lipid emulsion that could be compared");
  return combine(plans.map((plan) => judgePlan(plan, context)));
}

function judgePlan(plan: RescuePlan, context: RuleContext): Judgement {
  const strengths = combine([...plan.boluses, ...plan.infusions].map(judgeStrength));
  if (strengths.found.length + strengths.undecided.length > 0) return strengths;
  const patients = { box: context.box, cancelled: context.isCancelled };
  const compared = SCHEMES.map((scheme) => differencesFrom(scheme, plan, patients));
  const [nearest, ...others] = [...compared].sort((a, b) => a.differences.length - b.differences.length);
  if (!nearest) return HOLDS;
  return {
    found: nearest.differences.map((difference) => tellDifference(difference, nearest, others)),
    undecided: nearest.undecided,
  };
}

/** Both schemes are for 20 %: volumes of another strength cannot be compared with them. */
function judgeStrength(dose: Dose): Judgement {
  const { concentration } = dose;
  if (!concentration) return undecided("the strength of the lipid emulsion is not known", dose.agentOrigin);
  if (inBase(concentration).equals(STRENGTH)) return HOLDS;
  return {
    found: [
      {
        origin: dose.agentOrigin,
        severity: "unsafe",
        what: `\`${dose.name}\` is of a lipid emulsion of ${quantityText(concentration)}; the published schemes are for 20 %.`,
        label: "not the 20 % of the schemes",
        next: "Use a 20 % lipid emulsion, or correct the concentration of the agent.",
        related: [{ origin: concentration.origin, note: "the concentration" }],
      },
    ],
    undecided: [],
  };
}

function tellDifference(
  difference: Difference,
  nearest: Differences,
  others: readonly Differences[],
): Detected {
  const { part, dose, origin, severity, is, published, evidence } = difference;
  const { name } = nearest.scheme;
  const fits = others.find(
    (other) => !other.differences.some((one) => one.part === part && one.dose === dose),
  );
  const mixed = fits ? ` This part follows the ${fits.scheme.name} scheme, the rest the ${name} one.` : "";
  return {
    origin,
    severity,
    what: `\`${dose}\` ${is}; the nearest scheme, the ${name} one, has ${published}.${mixed}`,
    label: `not as in the ${name} scheme`,
    next: fits
      ? "Take one scheme as a whole."
      : `Write what the ${name} scheme has, or accept the difference with a reason in the local rules.`,
    ...(evidence && { patients: evidence }),
  };
}
