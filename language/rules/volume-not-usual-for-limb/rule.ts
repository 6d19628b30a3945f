import { type Rational, ratio } from "@limbwright/shared/quantity";
import type { Dose } from "../../model/index.ts";
import { type Comparison, compare, type Expression, regionsText } from "../../population/index.ts";
import {
  combine,
  found,
  HOLDS,
  type Judgement,
  type Rule,
  type RuleContext,
  undecided,
} from "../engine/definition.ts";
import { amountText, evidenceOf } from "../engine/evidence.ts";
import { adultsOf, amongThose } from "../facts/age-groups.ts";
import { judgeInjectedAnaesthetics } from "../facts/injected-drugs.ts";

const HALF = ratio(1, 2);

export const rule: Rule = {
  id: "volume-not-usual-for-limb",
  title: "The volume is one that is usual for the limb",
  group: "dose",
  severity: "advice",
  why: "More than the veins of an emptied limb take raises the pressure under the cuff; much less may leave the block patchy.",
  sources: [
    { source: "handbooks-together", says: "forearm 20 to 25, arm 40 to 50, calf 40 to 50, thigh 100 mL" },
    { source: "lidocaine-dosages", says: "10 to 60 mL of 0.5 %" },
    { source: "miller-nerve-blocks", says: "arm 40 mL of 0.5 %; leg 50 to 100 mL of 0.25 %" },
    { source: "miller-children", says: "children: 0.6 mL/kg of 0.5 %" },
    {
      source: "clark-update",
      says: "prilocaine 0.5 %: arm 40 mL, leg 60 mL; its greatest dose, 400 mg, is 80 mL",
    },
    { source: "forearm-low-doses", says: "forearm 25 mL or 15 mL of 0.5 %" },
    { source: "forearm-trial", says: "forearm 0.4 mL/kg up to 25 mL" },
    { source: "below-the-knee", says: "calf 40 mL of 0.5 %, 20 mL or 40 mL of 1 %" },
    {
      source: "regional-atlas",
      says: "12 to 15 mL of 2 % lidocaine: less than half of the usual volume, which the rule finds",
    },
    {
      source: "bier-block-chapter",
      says: "arm 1 mL/kg of 0.5 %, leg 2 mL/kg of 0.25 %: more than the usual volume for most adults, which the rule finds",
    },
  ],
  parameters: [
    { name: "upper-arm", title: "Usual volume behind a cuff on the upper arm", unit: "mL", standard: "40" },
    { name: "forearm", title: "Usual volume behind a cuff on the forearm", unit: "mL", standard: "25" },
    {
      name: "thigh",
      title: "Usual volume behind a cuff on the thigh; half of it is usual behind one on the calf",
      unit: "mL",
      standard: "100",
    },
  ],
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
  const limit: Expression = { kind: "constant", value: usual };
  const answer = compare(volume, "at-most", limit, context.box, { cancelled: context.isCancelled });
  return judgeVolume(dose, answer, usual, {
    what: `more than the usual ${amountText(usual, "mL")}`,
    label: "more than usual",
    next: "Ask whether the limb needs it; the agent's maximum comes first. Less volume, or a weaker solution, gives a smaller dose.",
  });
}

/** Adults alone: a child's dose by weight is small because the limb is. */
function tooLittle(dose: Dose, volume: Expression, usual: Rational, context: RuleContext): Judgement {
  const adults = adultsOf(context.box, context.parameter("child-age").value);
  if (!adults) return HOLDS;
  const limit: Expression = { kind: "constant", value: usual.mul(HALF) };
  const answer = compare(volume, "at-least", limit, adults.box, { cancelled: context.isCancelled });
  const told = answer.kind === "broken" ? amongThose(answer, adults.singledOut) : answer;
  return judgeVolume(dose, told, usual, {
    what: `less than half of the usual ${amountText(usual, "mL")}`,
    label: "less than half of usual",
    next: "Ask whether it fills the limb. Where the maximum does not allow more drug, a weaker solution gives more volume.",
  });
}

interface Words {
  readonly what: string;
  readonly label: string;
  readonly next: string;
}

function judgeVolume(dose: Dose, answer: Comparison, usual: Rational, words: Words): Judgement {
  if (answer.kind === "holds") return HOLDS;
  if (answer.kind === "not-decided") return undecided(answer.limit, dose.origin);
  return found({
    origin: dose.amount?.origin ?? dose.origin,
    what: `\`${dose.name}\` is ${words.what}: ${regionsText(answer.regions)}.`,
    label: words.label,
    next: words.next,
    patients: evidenceOf(
      answer,
      ({ left }) => `${amountText(left, "mL")}, ${amountText(usual, "mL")} is usual`,
    ),
  });
}
