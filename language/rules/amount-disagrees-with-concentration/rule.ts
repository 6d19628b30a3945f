import type { Repair } from "@limbwright/shared/finding";
import { amountText, inBase, quantityText, sameDimension, VOLUME, ZERO } from "@limbwright/shared/quantity";
import { type Amount, type Dose, massOrVolume, massUnitOf } from "../../model/index.ts";
import { needsALook } from "../../model/text-changes.ts";
import { type Broken, compare, type Expression, regionsText, type Witness } from "../../population/index.ts";
import type { Rule, RuleContext } from "../engine/definition.ts";
import { evidenceOf, judgePatients } from "../engine/evidence.ts";
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
    (broken) => ({
      ...disagreement(dose, amount, sameAmount, broken),
      repairs: keepLess(dose, amount, sameAmount, expected, context),
    }),
  );
}

/**
 * The one amount alone that is less for every patient; nothing where each is less for some. Of a rescue drug the less may be what
 * harms.
 */
function keepLess(
  { agent }: Dose,
  amount: Amount,
  sameAmount: Amount,
  expected: Expression,
  { box, isCancelled }: RuleContext,
): Repair[] {
  if (!agent || agent.kind?.value === "rescue") return [];
  const isLess = (is: "at-least" | "at-most") =>
    compare(sameAmount.expression, is, expected, box, { cancelled: isCancelled }).kind === "holds";
  const [first, second] = [amount.origin, sameAmount.origin];
  const { file } = first;
  const removed = isLess("at-least")
    ? { kept: "first", origin: { file, start: first.end, end: second.end } }
    : { kept: "second", origin: { file, start: first.start, end: second.start } };
  if (removed.kept === "second" && !isLess("at-most")) return [];
  const title = `Keep the ${removed.kept} amount alone, which is less`;
  return needsALook(title, { origin: removed.origin, text: "" });
}

function disagreement(dose: Dose, amount: Amount, sameAmount: Amount, answer: Broken): Detected {
  const unit = sameDimension(sameAmount.dimension, VOLUME) ? "mL" : massUnitOf({ amount: sameAmount });
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
