import { amountText, inBase, quantityText, type Rational } from "@limbwright/shared/quantity";
import type { CuffPlace, Dose, WrittenQuantity } from "../../model/index.ts";
import { regionText } from "../../population/index.ts";
import type { Rule, RuleContext } from "../engine/definition.ts";
import { combine, found, HOLDS, type Judgement, undecided, type Words } from "../engine/judgement.ts";
import { adultsOf, type PatientGroup } from "../facts/age-groups.ts";
import { judgeInjectedAnaesthetics } from "../facts/injected-drugs.ts";

export const rule: Rule = {
  judge: (context) => judgeInjectedAnaesthetics(context.protocol, (dose) => judgeDose(dose, context)),
};

function judgeDose(dose: Dose, context: RuleContext): Judgement {
  const { concentration } = dose;
  if (!concentration)
    return undecided(`the concentration of \`${dose.name}\` is not known`, dose.agentOrigin);
  return combine([tooStrong(dose, concentration, context), tooWeak(dose, concentration, context)]);
}

function tooStrong(dose: Dose, concentration: WrittenQuantity, context: RuleContext): Judgement {
  const highest = context.parameter("highest").value;
  if (inBase(concentration).compare(highest) <= 0) return HOLDS;
  return unusual(dose, concentration, {
    what: `\`${dose.name}\` is injected at ${quantityText(concentration)}; up to ${amountText(highest, "%")} is usual.`,
    label: `stronger than ${amountText(highest, "%")}`,
    next: `Dilute it to ${amountText(highest, "%")} and say so in the formulary (\`concentration\`, \`diluted with\`), or accept it in the local rules, with the reason.`,
  });
}

function tooWeak(dose: Dose, concentration: WrittenQuantity, context: RuleContext): Judgement {
  const forAll = context.parameter("lowest-child-or-leg").value;
  const forAdultArms = context.parameter("lowest").value;
  const value = inBase(concentration);
  if (value.compare(forAll) < 0) return weak(dose, concentration, forAll);
  if (value.compare(forAdultArms) >= 0) return HOLDS;
  const place = context.protocol.cuffs?.place?.value;
  if (!place) return undecided("the place of the cuffs is not known", context.protocol.cuffs?.origin);
  const adults = adultsOf(context.box, context.parameter("child-age").value);
  return isLeg(place) || !adults ? HOLDS : weak(dose, concentration, forAdultArms, adults);
}

function isLeg(place: CuffPlace): boolean {
  return place === "thigh" || place === "calf" || place === "ankle";
}

function weak(dose: Dose, concentration: WrittenQuantity, least: Rational, adults?: PatientGroup): Judgement {
  const whom = adults ? " for the arm of an adult" : "";
  return unusual(
    dose,
    concentration,
    {
      what: `\`${dose.name}\` is injected at ${quantityText(concentration)}; ${amountText(least, "%")} or more is usual${whom}.`,
      label: `weaker than ${amountText(least, "%")}`,
      next: `Use ${amountText(least, "%")}, or accept it in the local rules, with the reason.`,
    },
    adults,
  );
}

/** Stands at the dose: the formulary may well hold the solution, the dose chooses it. */
function unusual(dose: Dose, concentration: WrittenQuantity, words: Words, adults?: PatientGroup): Judgement {
  const isOfAgent = dose.agent?.concentrations.includes(concentration) ?? false;
  const everybody = adults === undefined || Object.keys(adults.singledOut).length === 0;
  return found({
    ...words,
    origin: isOfAgent ? dose.agentOrigin : concentration.origin,
    ...(isOfAgent && { related: [{ origin: concentration.origin, note: "the concentration" }] }),
    patients: {
      ranges: [regionText({ ranges: adults?.singledOut ?? {}, exact: true, everybody })],
      exact: true,
      everybody,
    },
  });
}
