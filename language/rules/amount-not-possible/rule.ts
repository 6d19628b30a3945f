import { amountText, inBase, ZERO } from "@limbwright/shared/quantity";
import { type Amount, type Dose, massOrVolume, massUnitOf } from "../../model/index.ts";
import { type Box, regionsText } from "../../population/index.ts";
import type { Rule, RuleContext } from "../engine/definition.ts";
import { evidenceOf, judgePatients } from "../engine/evidence.ts";
import { combine, HOLDS, type Judgement, undecided } from "../engine/judgement.ts";

export const rule: Rule = {
  judge: (context) => combine(context.protocol.doses.map((dose) => judgeDose(dose, context))),
};

function judgeDose(dose: Dose, context: RuleContext): Judgement {
  const { amount, sameAmount, rate, total, adjuvants } = dose;
  const written = [amount, sameAmount, rate, total, ...adjuvants.map((one) => one.amount)];
  return combine([
    ...written.map((one) => (one ? judgeOverZero(dose, one, context) : HOLDS)),
    amount && total ? judgeWithinTotal(dose, amount, total, context) : HOLDS,
  ]);
}

function judgeOverZero(dose: Dose, amount: Amount, context: RuleContext): Judgement {
  return judgePatients(
    context,
    {
      amount: amount.expression,
      is: "over",
      limit: ZERO,
      box: whoWeighSomething(context.box),
      origin: amount.origin,
    },
    (broken) => ({
      origin: amount.origin,
      what: `An amount of \`${dose.name}\` is zero or less: ${regionsText(broken.regions)}.`,
      label: "zero or less",
      next: "Write a greater amount for the smallest patients, or round it to a smaller step; or do not cover these patients.",
      patients: evidenceOf(broken, ({ left }) => amountText(left, unitOf(amount))),
    }),
  );
}

/** Where no least weight is stated, nobody without a weight is meant. */
function whoWeighSomething(box: Box): Box {
  const weight = box.weight ?? {};
  return weight.lower ? box : { ...box, weight: { ...weight, lower: { value: ZERO, closed: false } } };
}

function judgeWithinTotal(dose: Dose, amount: Amount, total: Amount, context: RuleContext): Judgement {
  const perMillilitre = dose.concentration ? inBase(dose.concentration) : ZERO;
  const most = massOrVolume(total, amount.dimension, perMillilitre);
  if (!most) {
    return undecided(
      `without a concentration one giving of \`${dose.name}\` cannot be held against its total`,
      total.origin,
    );
  }
  return judgePatients(
    context,
    { amount: amount.expression, is: "at-most", limit: most, origin: total.origin },
    (broken) => ({
      origin: amount.origin,
      what: `One giving of \`${dose.name}\` is more than its own \`total up to\`: ${regionsText(broken.regions)}.`,
      label: "more than its total",
      next: "End the amount itself with `up to`; `total up to` only ends an infusion.",
      related: [{ origin: total.origin, note: "the total" }],
      patients: evidenceOf(
        broken,
        ({ left, right }) =>
          `${amountText(left, unitOf(amount))}, ${amountText(right, unitOf(amount))} in all`,
      ),
    }),
  );
}

/** In the mass that it is written in or in mL, for a rate by the hour. */
function unitOf(amount: Amount): string {
  const { dimension } = amount;
  return `${dimension.mass ? massUnitOf({ amount }) : "mL"}${dimension.time ? "/h" : ""}`;
}
