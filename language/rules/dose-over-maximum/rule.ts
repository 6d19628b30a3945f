import type { Origin, Repair } from "@limbwright/shared/finding";
import { type MassUnit, quantityText } from "@limbwright/shared/quantity";
import {
  type Adjuvant,
  type Agent,
  type Amount,
  type Dose,
  type Maximum,
  massAndVolume,
  massUnitMixedIn,
  massUnitOf,
} from "../../model/index.ts";
import { type Box, type Expression, regionsText } from "../../population/index.ts";
import type { Rule, RuleContext } from "../engine/definition.ts";
import { evidenceOf, judgePatients } from "../engine/evidence.ts";
import { combine, HOLDS, type Judgement, undecided } from "../engine/judgement.ts";
import { repairByLowering } from "../facts/amount-repairs.ts";
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
import { upToMaximum } from "../facts/raised-maximum.ts";
import { STATED } from "../generated/stated.ts";

export const rule: Rule = {
  judge: (context) => combine(context.protocol.doses.map((dose) => judgeDose(dose, context))),
  upTo: upToMaximum(STATED["agent-maximum-above-label"]),
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
  const written = rate ? total : amount;
  const own = judgeGiven(
    {
      dose,
      subject: dose.name,
      agent,
      origin,
      amount: written,
      in: (measured) => singleAmount(dose, measured),
      told: massUnitOf(dose),
    },
    context,
  );
  const other = beside(own, judgeOtherWriting(dose, agent, context));
  return combine([own, other, ...dose.adjuvants.map((adjuvant) => judgeAdjuvant(dose, adjuvant, context))]);
}

/** What is over a maximum either way, is told once. */
function beside({ found }: Judgement, other: Judgement): Judgement {
  const isTold = (label: string) => found.some((one) => one.label === label);
  return {
    found: other.found.filter(({ label }) => !isTold(label)),
    undecided: found.length === 0 ? other.undecided : [],
  };
}

/** The second way in which the amount is written, which somebody may read alone. */
function judgeOtherWriting(dose: Dose, agent: Agent, context: RuleContext): Judgement {
  const { sameAmount, concentration } = dose;
  if (!sameAmount) return HOLDS;
  const written = massAndVolume(sameAmount, concentration);
  const given = (measured: Measured) => written[measured];
  const told = massUnitOf({ amount: sameAmount, ...(concentration && { concentration }) });
  return judgeGiven(
    { dose, subject: dose.name, agent, origin: sameAmount.origin, amount: undefined, in: given, told },
    context,
  );
}

function judgeAdjuvant(dose: Dose, adjuvant: Adjuvant, context: RuleContext): Judgement {
  const { agent, amount } = adjuvant;
  if (!agent || !amount)
    return undecided(`what is mixed into \`${dose.name}\` is not understood`, adjuvant.origin);
  return judgeGiven(
    {
      dose,
      agent,
      origin: amount.origin,
      amount,
      in: (measured) => adjuvant[measured],
      told: massUnitMixedIn(adjuvant),
    },
    context,
  );
}

/** One giving of one drug: what a dose gives of its own, or what is mixed into it. */
interface Given {
  readonly dose: Dose;
  /** What names it in an acceptance: nothing does for what is mixed in. */
  readonly subject?: string;
  readonly agent: Agent;
  readonly origin: Origin;
  /** As it is written; undefined where it is no amount that could be lowered alone. */
  readonly amount: Amount | undefined;
  /** In mg or in mL; undefined where no concentration tells. */
  readonly in: (measured: Measured) => Expression | undefined;
  /** The unit that its mass is written in, and told in. */
  readonly told: MassUnit;
}

function judgeGiven(given: Given, context: RuleContext): Judgement {
  const { agent, origin } = given;
  return combine([
    { found: [], undecided: lackingMaximum(agent, context.box, origin) },
    ...maximaOf(agent, context.protocol).map((maximum) => judgeMaximum(given, maximum, context)),
  ]);
}

function judgeMaximum(given: Given, maximum: Maximum, context: RuleContext): Judgement {
  const { dose, subject, agent, origin } = given;
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
    ...(subject !== undefined && { subject, limitUnit: maximum.limit.unit.symbol }),
    next: `Lower the amount, or end it with \`up to\` ${quantityText(maximum.limit)}.`,
    repairs: withinMaximum(given, maximum, context.box),
    related: [{ origin: maximum.origin, note: "the maximum" }],
    patients: evidenceOf(broken, (witness) => overText(witness, maximum, given.told)),
  }));
}

/** Nothing for a maximum of some ages alone, and nothing where two amounts are written: one would say more than the other. */
function withinMaximum({ dose, amount, in: measuredIn }: Given, maximum: Maximum, box: Box): Repair[] {
  const given = measuredIn(isVolumeLimit(maximum) ? "volume" : "mass");
  if (maximum.ages || !amount || !given || dose.sameAmount) return [];
  const { limit, measure } = withinLimit(given, maximum);
  return repairByLowering({ amount, given, most: { quantity: maximum.limit, limit, measure }, box });
}
