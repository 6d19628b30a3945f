import { inBase, quantityText, sameDimension, VOLUME, ZERO } from "@limbwright/shared/quantity";
import { type Amount, type Dose, massOrVolume } from "../../model/index.ts";
import { type Broken, regionsText, type Witness } from "../../population/index.ts";
import type { Rule, RuleContext } from "../engine/definition.ts";
import { amountText, evidenceOf, judgePatients } from "../engine/evidence.ts";
import { combine, type Detected, HOLDS, type Judgement, undecided } from "../engine/judgement.ts";

export const rule: Rule = {
  judge: (context) => combine(context.protocol.doses.map((dose) => judgeDose(dose, context))),
};

function judgeDose(dose: Dose, context: RuleContext): Judgement {
  const { amount, sameAmount, concentration } = dose;
  if (!sameAmount) return HOLDS;
  if (!amount) return undecided("the amount is not understood", dose.origin);
  const perMillilitre = concentration ? inBase(concentration) : ZERO;
  const expected = massOrVolume(amount, sameAmount.dimension, perMillilitre);
  if (!expected) {
    return undecided("without a concentration a mass cannot be held against a volume", sameAmount.origin);
  }
  return judgePatients(
    context,
    { amount: sameAmount.expression, is: "equal", limit: expected, origin: sameAmount.origin },
    (broken) => disagreement(dose, amount, sameAmount, broken),
  );
}

function disagreement(dose: Dose, amount: Amount, sameAmount: Amount, answer: Broken): Detected {
  const unit = sameDimension(sameAmount.dimension, VOLUME) ? "mL" : "mg";
  const both = ({ left, right }: Witness) =>
    `${amountText(left, unit)} written, ${amountText(right, unit)} by the concentration`;
  const strength = dose.concentration ? ` at ${quantityText(dose.concentration)}` : "";
  return {
    origin: sameAmount.origin,
    what: `The two amounts of \`${dose.name}\` are not the same${strength}: ${both(answer.clean)} (${regionsText(answer.regions)}).`,
    label: "not the same amount",
    next: "Correct the amount that is wrong, or the concentration; or write only one of the two.",
    related: [
      { origin: amount.origin, note: "the other amount" },
      ...(dose.concentration ? [{ origin: dose.concentration.origin, note: "the concentration" }] : []),
    ],
    patients: evidenceOf(answer, both),
  };
}
