import { compareOrigins, type Repair } from "@limbwright/shared/finding";
import { inBase, quantityText } from "@limbwright/shared/quantity";
import { allHandlers, type Dose, type Protocol } from "../../model/index.ts";
import { needsALook } from "../../model/text-changes.ts";
import { isOfToxicitySigns } from "../../runs/index.ts";
import type { Rule, RuleContext } from "../engine/definition.ts";
import { combine, type Detected, found, HOLDS, type Judgement, undecided } from "../engine/judgement.ts";
import {
  type Difference,
  type Differences,
  differencesFrom,
  planOf,
  type RescuePlan,
} from "./differences.ts";
import { SCHEMES, STRENGTH } from "./schemes.ts";

export const rule: Rule = { judge };

function judge(context: RuleContext): Judgement {
  const { protocol } = context;
  const plans = [...protocol.emergencies, ...allHandlers(protocol).filter(isOfToxicitySigns)]
    .map((treatment) => planOf(protocol, treatment))
    .filter(({ boluses, infusions }) => boluses.length + infusions.length > 0);
  if (plans.length === 0)
    return undecided("nothing that answers toxicity gives a lipid emulsion that could be compared");
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
    found: nearest.differences.map((difference) => ({
      ...tellDifference(difference, nearest, others),
      repairs: asPublished(difference, nearest, context.protocol),
    })),
    undecided: nearest.undecided,
  };
}

/** Both schemes are for 20 %: volumes of another strength cannot be compared with them. */
function judgeStrength(dose: Dose): Judgement {
  const { concentration } = dose;
  if (!concentration) return undecided("the strength of the lipid emulsion is not known", dose.agentOrigin);
  if (inBase(concentration).equals(STRENGTH)) return HOLDS;
  return found({
    origin: dose.agentOrigin,
    severity: "unsafe",
    what: `\`${dose.name}\` is of a lipid emulsion of ${quantityText(concentration)}; the published schemes are for 20 %.`,
    label: "not the 20 % of the schemes",
    next: "Use a 20 % lipid emulsion, or correct the concentration of the agent.",
    related: [{ origin: concentration.origin, note: "the concentration" }],
  });
}

/** What the nearest scheme has, in the place of what is written for it; of two ways to write an amount, neither. */
function asPublished(
  { part, dose: name, origin }: Difference,
  { scheme: { written, name: scheme } }: Differences,
  { doses }: Protocol,
): Repair[] {
  const dose = doses.find((one) => one.name === name);
  if (!written || !dose || part === "repeats") return [];
  const own = {
    bolus: dose.sameAmount ? undefined : dose.amount,
    time: dose.over,
    rate: dose.rate,
    total: dose.total,
  };
  const place = own[part]?.origin;
  if (!place || compareOrigins(place, origin) !== 0) return [];
  const text = written[part];
  return needsALook(`Write ${text}, as in the ${scheme} scheme`, { origin: place, text });
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
      : `Write what the ${name} scheme has${severity === "unsafe" ? "" : ", or accept the difference with a reason in the local rules"}.`,
    ...(evidence && { patients: evidence }),
  };
}
