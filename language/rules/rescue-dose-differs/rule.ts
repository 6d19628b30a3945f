import { inBase, quantityText } from "@limbwright/shared/quantity";
import type { Dose } from "../../model/index.ts";
import {
  type Detected,
  HOLDS,
  type Judgement,
  type Rule,
  type RuleContext,
  together,
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
      title: "UK theatre emergency card, local anaesthetic toxicity",
      address:
        "https://rightdecisions.scot.nhs.uk/sjh-theatres-and-anaesthetics/anaesthetic-emergencies/3-10-local-anaesthetic-toxicity",
      seen: "passage read",
      says: "20 % lipid emulsion 1.5 mL/kg over 1 min; 15 mL/kg/h; the same bolus at 5 and 10 min if unstable; 30 mL/kg/h at any time after 5 min; at most 12 mL/kg",
    },
    {
      title:
        "American Society of Regional Anesthesia and Pain Medicine checklist 2020, as a reference text reports it",
      address:
        "https://www.staging.medscape.com/answers/1844551-62878/what-is-the-recommended-dosing-regimen-for-lipid-emulsion-therapy-for-local-anesthetic-toxicity",
      seen: "reported elsewhere",
      says: "under 70 kg 1.5 mL/kg over 2 to 3 min, then 0.25 mL/kg/min; over 70 kg 100 mL over 2 to 3 min, then about 250 mL over 15 to 20 min; repeat the bolus or double the infusion; about 12 mL/kg over the first 30 min",
    },
    {
      title: "Difference of 5 % that is taken for rounding",
      seen: "common practice, no source",
      says: "the UK card itself prints about 100 mL for 105 mL",
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
  return together(plans.map((plan) => judgePlan(plan, context)));
}

function judgePlan(plan: RescuePlan, context: RuleContext): Judgement {
  const strengths = together([...plan.boluses, ...plan.infusions].map(judgeStrength));
  if (strengths.found.length + strengths.undecided.length > 0) return strengths;
  const patients = { box: context.box, cancelled: context.isCancelled };
  const compared = SCHEMES.map((scheme) => differencesFrom(scheme, plan, patients));
  const [nearest, ...others] = [...compared].sort((a, b) => a.differences.length - b.differences.length);
  if (!nearest) return HOLDS;
  return {
    found: nearest.differences.map((difference) => detected(difference, nearest, others)),
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

function detected(difference: Difference, nearest: Differences, others: readonly Differences[]): Detected {
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
