import type { Repair } from "@limbwright/shared/finding";
import { amountText, quantityText } from "@limbwright/shared/quantity";
import { type Dose, type Maximum, massUnitOf } from "../../model/index.ts";
import { needsALook, wordsAfter } from "../../model/text-changes.ts";
import { type Box, findExtremes, patientText, withoutRounding } from "../../population/index.ts";
import type { Rule, RuleContext } from "../engine/definition.ts";
import { found, HOLDS, type Judgement, undecided } from "../engine/judgement.ts";
import { judgeInjectedAnaesthetics } from "../facts/injected-drugs.ts";
import { isPerWeight, isVolumeLimit } from "../facts/maximum.ts";

export const rule: Rule = {
  judge: (context) => judgeInjectedAnaesthetics(context.protocol, (dose) => judgeDose(dose, context)),
};

function judgeDose(dose: Dose, context: RuleContext): Judgement {
  if (!dose.amount) return undecided(`the amount of \`${dose.name}\` is not understood`, dose.origin);
  const limits = { cancelled: context.isCancelled };
  // Rounding down takes off less than one step, so it neither gives a dose an end nor takes one away.
  const growing = findExtremes(withoutRounding(dose.amount.expression), withoutHeaviest(context.box), limits);
  if (growing.kind === "not-decided") return undecided(growing.limit, dose.origin);
  if (growing.greatest.kind !== "endless") return HOLDS;
  const cap = dose.agent?.maxima.find(isAbsoluteMass);
  const capText = cap ? quantityText(cap.limit) : "200 mg";
  return found({
    origin: dose.amount.origin,
    what: `\`${dose.name}\` goes up with the weight and has no cap${heaviestText(dose, context)}.`,
    label: "no greatest amount",
    next: cap
      ? `End it with \`up to ${capText}\`, the agent's maximum, or with less.`
      : "End it with `up to` and an amount, such as `3 mg/kg up to 200 mg`.",
    ...(cap && { related: [{ origin: cap.origin, note: "the maximum" }], repairs: capRepair(dose, capText) }),
  });
}

function isAbsoluteMass(maximum: Maximum): boolean {
  return !maximum.ages && !isVolumeLimit(maximum) && !isPerWeight(maximum.limit.unit.dimension);
}

/** The box as if nobody were too heavy for it: what grows there without an end has no cap of its own. */
function withoutHeaviest(box: Box): Box {
  const lower = box.weight?.lower;
  return { ...box, weight: lower ? { lower } : {} };
}

function heaviestText(dose: Dose, { box, isCancelled }: RuleContext): string {
  const given = dose.mass && findExtremes(dose.mass, box, { cancelled: isCancelled });
  if (given?.kind !== "extremes" || given.greatest.kind === "endless") return "";
  return `: ${amountText(given.greatest.value, massUnitOf(dose))} at ${patientText(given.greatest.patient)}`;
}

/** Only a plain quantity: behind a sum the words would cap its last part alone to the reader's eye. */
function capRepair(dose: Dose, capText: string): Repair[] {
  const { amount } = dose;
  return amount?.node.kind === "quantity"
    ? needsALook(`End it with up to ${capText}`, wordsAfter(amount.origin, `up to ${capText}`))
    : [];
}
