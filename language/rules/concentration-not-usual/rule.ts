import { fromBase, inBase, quantityText, type Rational } from "@limbwright/shared/quantity";
import type { CuffPlace, Dose, WrittenQuantity } from "../../model/index.ts";
import { regionText } from "../../population/index.ts";
import {
  combine,
  found,
  HOLDS,
  type Judgement,
  type Rule,
  type RuleContext,
  undecided,
} from "../engine/definition.ts";
import { adultsOf, type PatientGroup } from "../facts/age-groups.ts";
import { judgeInjectedAnaesthetics } from "../facts/injected-drugs.ts";

export const rule: Rule = {
  id: "concentration-not-usual",
  title: "The local anaesthetic is injected at a usual concentration",
  group: "dose",
  severity: "doubtful",
  why: "An ampoule that was not diluted is the classic slip: the same volume then holds two or four times the dose.",
  sources: [
    {
      source: "lidocaine-monograph",
      says: "intravenous regional anaesthesia: only 0.5 %, without preservative and without adrenaline",
    },
    { source: "lidocaine-label", says: "adults 0.5 % plain; children at most 3 mg/kg with 0.25 to 0.5 %" },
    { source: "miller-nerve-blocks", says: "arm 40 mL of 0.5 %; leg 50 to 100 mL of 0.25 %" },
    {
      source: "below-the-knee",
      says: "prilocaine 40 mL of 0.5 %, 20 mL of 1 %, 40 mL of 1 %: stronger than usual; 400 mg gave effects on the brain in 5 of 6",
    },
    { source: "regional-atlas", says: "12 to 15 mL of 2 % lidocaine: the rule finds this" },
    { source: "forearm-trial", says: "lidocaine 0.5 % or ropivacaine 0.375 %" },
    { source: "ropivacaine-volunteers-1999", says: "ropivacaine 0.2 %, volunteers only" },
    { source: "marsch-2004", says: "chloroprocaine 0.5 % or 1 %, 40 mL" },
    {
      source: "tucker-boas-1971",
      says: "the peak in the blood after release is about 40 % lower with 0.5 % than with 1 %",
    },
  ],
  parameters: [
    {
      name: "highest",
      title: "Strongest usual solution",
      unit: "%",
      standard: "0.5",
      tighter: "lower",
    },
    {
      name: "lowest",
      title: "Weakest usual solution for the arm of an adult",
      unit: "%",
      standard: "0.5",
      tighter: "higher",
    },
    {
      name: "lowest-child-or-leg",
      title: "Weakest usual solution for a child or a leg",
      unit: "%",
      standard: "0.25",
      tighter: "higher",
    },
  ],
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
    what: `\`${dose.name}\` is injected at ${quantityText(concentration)}; up to ${percent(highest)} is usual.`,
    label: `stronger than ${percent(highest)}`,
    next: `Dilute it to ${percent(highest)} and say so in the formulary (\`concentration\`, \`diluted with\`), or say why not in the local rules.`,
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
      what: `\`${dose.name}\` is injected at ${quantityText(concentration)}; ${percent(least)} or more is usual${whom}.`,
      label: `weaker than ${percent(least)}`,
      next: `Use ${percent(least)}, or say why not in the local rules.`,
    },
    adults,
  );
}

/** Stands at the dose: the formulary may well hold the solution, the dose chooses it. */
function unusual(
  dose: Dose,
  concentration: WrittenQuantity,
  words: { readonly what: string; readonly label: string; readonly next: string },
  adults?: PatientGroup,
): Judgement {
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

function percent(value: Rational): string {
  return quantityText(fromBase(value, "%"));
}
