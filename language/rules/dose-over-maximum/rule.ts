import { compareOrigins, type Origin, type Repair } from "@limbwright/shared/finding";
import { quantityText, sameDimension } from "@limbwright/shared/quantity";
import {
  type Adjuvant,
  type Agent,
  type AmountNode,
  type Dose,
  type Maximum,
  massAndVolume,
} from "../../model/index.ts";
import { needsALook, wordsAfter, writeInstead } from "../../model/text-changes.ts";
import { type Expression, regionsText } from "../../population/index.ts";
import type { Rule, RuleContext } from "../engine/definition.ts";
import { evidenceOf, judgePatients } from "../engine/evidence.ts";
import { combine, HOLDS, type Judgement, undecided } from "../engine/judgement.ts";
import { maximaOf } from "../facts/answers.ts";
import { type Measured, singleAmount } from "../facts/cumulative.ts";
import {
  isVolumeLimit,
  lackingMaximum,
  limitText,
  overText,
  patientsUnder,
  withinLimit,
} from "../facts/maximum.ts";

export const rule: Rule = {
  judge: (context) => combine(context.protocol.doses.map((dose) => judgeDose(dose, context))),
};

function judgeDose(dose: Dose, context: RuleContext): Judgement {
  const { agent, amount, rate, total } = dose;
  if (!agent || !(amount || rate)) return undecided("the dose or its agent is not understood", dose.origin);
  if (rate && !total) {
    return undecided(
      `\`${dose.name}\` runs at a rate without \`total up to\`, so nothing says how much it gives`,
      rate.origin,
    );
  }
  const origin = (rate ? total?.origin : amount?.origin) ?? dose.origin;
  const own = judgeGiven({ dose, agent, origin, in: (measured) => singleAmount(dose, measured) }, context);
  const other = own.found.length === 0 ? judgeOtherWriting(dose, agent, context) : HOLDS;
  return combine([own, other, ...dose.adjuvants.map((adjuvant) => judgeAdjuvant(dose, adjuvant, context))]);
}

/** The second way in which the amount is written, which somebody may read alone. */
function judgeOtherWriting(dose: Dose, agent: Agent, context: RuleContext): Judgement {
  const { sameAmount, concentration } = dose;
  if (!sameAmount) return HOLDS;
  const written = massAndVolume(sameAmount, concentration);
  const given = { dose, agent, origin: sameAmount.origin, in: (measured: Measured) => written[measured] };
  return judgeGiven(given, context);
}

function judgeAdjuvant(dose: Dose, adjuvant: Adjuvant, context: RuleContext): Judgement {
  const { agent, amount } = adjuvant;
  if (!agent || !amount)
    return undecided(`what is mixed into \`${dose.name}\` is not understood`, adjuvant.origin);
  return judgeGiven({ dose, agent, origin: amount.origin, in: (measured) => adjuvant[measured] }, context);
}

/** One giving of one drug: what a dose gives of its own, or what is mixed into it. */
interface Given {
  readonly dose: Dose;
  readonly agent: Agent;
  readonly origin: Origin;
  /** In mg or in mL; undefined where no concentration tells. */
  readonly in: (measured: Measured) => Expression | undefined;
}

function judgeGiven(given: Given, context: RuleContext): Judgement {
  const { agent, origin } = given;
  return combine([
    { found: [], undecided: lackingMaximum(agent, context.box, origin) },
    ...maximaOf(agent, context.protocol).map((maximum) => judgeMaximum(given, maximum, context)),
  ]);
}

function judgeMaximum(given: Given, maximum: Maximum, context: RuleContext): Judgement {
  const { dose, agent, origin } = given;
  const amount = given.in(isVolumeLimit(maximum) ? "volume" : "mass");
  if (!amount) {
    return undecided(
      `without a concentration of ${agent.name}, \`${dose.name}\` cannot be held against ${limitText(maximum)}`,
      origin,
    );
  }
  const box = patientsUnder(context.box, maximum);
  if (!box) return HOLDS;
  return judgePatients(context, { ...withinLimit(amount, maximum), box, origin: dose.origin }, (broken) => ({
    origin,
    what: `\`${dose.name}\` gives more ${agent.name} than ${limitText(maximum)}: ${regionsText(broken.regions)}.`,
    label: `over ${limitText(maximum)}`,
    next: `Lower the amount, or end it with \`up to\` ${quantityText(maximum.limit)}.`,
    repairs: withinMaximum(dose, origin, maximum),
    related: [{ origin: maximum.origin, note: "the maximum" }],
    patients: evidenceOf(broken, (witness) => overText(witness, maximum)),
  }));
}

/**
 * The amount ended at the maximum, where that is written in one way only: an amount in the maximum's own unit, or per
 * weight with or without a cap.
 */
function withinMaximum({ amount, sameAmount }: Dose, origin: Origin, { limit, ages }: Maximum): Repair[] {
  if (ages || !amount || sameAmount || compareOrigins(amount.origin, origin) !== 0) return [];
  const { node } = amount;
  const most = quantityText(limit);
  const isLimited = (one: AmountNode) =>
    one.kind === "quantity" && sameDimension(one.quantity.unit.dimension, limit.unit.dimension);
  if (isLimited(node)) return writeInstead(node.origin, most);
  if (!sameDimension(amount.dimension, limit.unit.dimension)) return [];
  if (node.kind === "quantity")
    return needsALook(`End it with up to ${most}`, wordsAfter(node.origin, `up to ${most}`));
  return node.kind === "capped" && isLimited(node.limit) ? writeInstead(node.limit.origin, most) : [];
}
