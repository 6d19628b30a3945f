import type { Dose, Maximum } from "../../model/index.ts";
import { compare, regionsText } from "../../population/index.ts";
import { absoluteText, evidenceOf, perWeightText } from "../evidence.ts";
import { isPerWeight, isVolumeLimit, limitExpression, limitText, patientsUnder } from "../maximum.ts";
import { found, HOLDS, type Judgement, type Rule, type RuleContext, together, undecided } from "../rule.ts";

export const rule: Rule = {
  id: "dose-over-maximum",
  title: "No single dose is over its agent's maximum, for any patient",
  group: "dose",
  severity: "unsafe",
  why: "If the cuff fails, the whole dose reaches the heart and the brain at once.",
  sources: [
    {
      title: "US product label, lidocaine hydrochloride injection, table of recommended dosages",
      address: "https://www.pfizermedicalinformation.com/lidocaine-hydrochloride/dosage-admin",
      seen: "passage read",
      says: "intravenous regional anaesthesia: 10 to 60 mL of 0.5 %, 50 to 300 mg",
    },
    {
      title: "US product label, lidocaine hydrochloride injection",
      address: "https://prescriberpoint.com/therapies/lidocaine-hydrochloride-27b6ef5",
      seen: "passage read",
      says: "intravenous regional anaesthesia in adults: at most 4 mg/kg; in children at most 3 mg/kg",
    },
  ],
  judge: (context) => together(context.protocol.doses.map((dose) => judgeDose(dose, context))),
};

function judgeDose(dose: Dose, context: RuleContext): Judgement {
  const maxima = dose.agent?.maxima ?? [];
  if (!dose.amount && dose.rate) return HOLDS;
  if (!dose.agent || !dose.amount) return undecided("the dose or its agent is not understood", dose.origin);
  return together(maxima.map((maximum) => judgeMaximum(dose, maximum, context)));
}

function judgeMaximum(dose: Dose, maximum: Maximum, context: RuleContext): Judgement {
  const amount = isVolumeLimit(maximum) ? dose.volume : dose.mass;
  if (!amount)
    return undecided("without a concentration the dose cannot be held against the maximum", dose.origin);
  const box = patientsUnder(context.box, maximum);
  if (!box) return HOLDS;
  const perWeight = isPerWeight(maximum.limit.unit.dimension);
  const answer = compare(amount, "at-most", limitExpression(maximum), box, {
    measure: perWeight ? "per-weight" : "absolute",
    cancelled: context.isCancelled,
  });
  if (answer.kind === "holds") return HOLDS;
  if (answer.kind === "not-decided") return undecided(answer.limit, dose.origin);
  const unit = isVolumeLimit(maximum) ? "mL" : "mg";
  return found({
    origin: dose.amount?.origin ?? dose.origin,
    what: `\`${dose.name}\` gives more ${dose.agent?.name} than ${limitText(maximum)}: ${regionsText(answer.regions)}.`,
    label: `over ${limitText(maximum)}`,
    next: `Lower the amount, or end it with \`up to\` ${limitText(maximum)}.`,
    related: [{ origin: maximum.origin, note: "the maximum" }],
    patients: evidenceOf(answer, (witness) =>
      perWeight ? perWeightText(witness, unit) : absoluteText(witness, unit),
    ),
  });
}
