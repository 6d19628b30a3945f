import type { Repair } from "@limbwright/shared/finding";
import { amountText, fromBase, quantityText, type Rational, ratio } from "@limbwright/shared/quantity";
import { type Dose, massAndVolume } from "../../model/index.ts";
import { needsALook } from "../../model/text-changes.ts";
import { type Broken, type Expression, regionsText } from "../../population/index.ts";
import type { Rule, RuleContext } from "../engine/definition.ts";
import { evidenceOf, judgePatients } from "../engine/evidence.ts";
import { combine, type Detected, HOLDS, type Judgement, undecided, type Words } from "../engine/judgement.ts";
import { adultsOf, amongThose } from "../facts/age-groups.ts";
import { repairByLowering } from "../facts/amount-repairs.ts";
import { judgeInjectedAnaesthetics } from "../facts/injected-drugs.ts";

const HALF = ratio(1, 2);

export const rule: Rule = {
  judge: (context) => judgeInjectedAnaesthetics(context.protocol, (dose) => judgeDose(dose, context)),
};

function judgeDose(dose: Dose, context: RuleContext): Judgement {
  if (!dose.volume) return undecided(`the volume of \`${dose.name}\` is not known`, dose.origin);
  const place = context.protocol.cuffs?.place?.value;
  const usual = usualVolume(context);
  if (!place || !usual) {
    const why = place
      ? `no usual volume is known for a cuff on the ${place}`
      : "the place of the cuffs is not known";
    return undecided(why, context.protocol.cuffs?.place?.origin ?? context.protocol.cuffs?.origin);
  }
  return combine([tooMuch(dose, dose.volume, usual, context), tooLittle(dose, dose.volume, usual, context)]);
}

/** In mL; undefined for the ankle, for which none is published. */
function usualVolume({ protocol, parameter }: RuleContext): Rational | undefined {
  switch (protocol.cuffs?.place?.value) {
    case "upper-arm":
    case "forearm":
    case "thigh":
      return parameter(protocol.cuffs.place.value).value;
    case "calf":
      return parameter("thigh").value.mul(HALF);
    case "ankle":
    case undefined:
      return undefined;
  }
}

function tooMuch(dose: Dose, volume: Expression, usual: Rational, context: RuleContext): Judgement {
  const question = { amount: volume, is: "at-most", limit: usual, origin: dose.origin } as const;
  return judgePatients(context, question, (broken) => ({
    ...tellVolume(dose, broken, usual, {
      what: `more than the usual ${amountText(usual, "mL")}`,
      label: "more than usual",
      next: "Ask whether the limb needs it; the agent's maximum comes first. Less volume, or a weaker solution, gives a smaller dose.",
    }),
    repairs: usualAtMost(dose, volume, usual, context),
  }));
}

/** Where the amount is written in two ways each is lowered: either may be read alone, and they are to say the same. */
function usualAtMost(
  { amount, sameAmount, concentration }: Dose,
  given: Expression,
  usual: Rational,
  { box }: RuleContext,
): Repair[] {
  if (!amount) return [];
  const quantity = fromBase(usual, "mL");
  const most = { quantity, limit: { kind: "constant", value: usual } } as const;
  const own = repairByLowering({ amount, given, most, box });
  if (!sameAmount) return own;
  const other = massAndVolume(sameAmount, concentration).volume;
  const beside = other ? repairByLowering({ amount: sameAmount, given: other, most, box }) : [];
  if (own.length === 0 || beside.length === 0) return [];
  const changes = [...own, ...beside].flatMap((repair) => repair.changes);
  return needsALook(`Let both amounts be at most ${quantityText(quantity)}`, ...changes);
}

/** Adults alone: a child's dose by weight is small because the limb is. */
function tooLittle(dose: Dose, volume: Expression, usual: Rational, context: RuleContext): Judgement {
  const adults = adultsOf(context.box, context.parameter("child-age").value);
  if (!adults) return HOLDS;
  const least = usual.mul(HALF);
  const question = {
    amount: volume,
    is: "at-least",
    limit: least,
    box: adults.box,
    origin: dose.origin,
  } as const;
  return judgePatients(context, question, (broken) =>
    tellVolume(dose, amongThose(broken, adults.singledOut), usual, {
      what: `less than half of the usual ${amountText(usual, "mL")}`,
      label: "less than half of usual",
      next: "Ask whether it fills the limb. Where the maximum does not allow more drug, a weaker solution gives more volume.",
    }),
  );
}

function tellVolume(dose: Dose, broken: Broken, usual: Rational, { what, label, next }: Words): Detected {
  return {
    origin: dose.amount?.origin ?? dose.origin,
    what: `\`${dose.name}\` is ${what}: ${regionsText(broken.regions)}.`,
    label,
    next,
    patients: evidenceOf(
      broken,
      ({ left }) => `${amountText(left, "mL")}, ${amountText(usual, "mL")} is usual`,
    ),
  };
}
