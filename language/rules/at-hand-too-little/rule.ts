import { inBase, massUnitIn, quantityText, VOLUME } from "@limbwright/shared/quantity";
import type { AmountAtHand, Protocol } from "../../model/index.ts";
import { regionsText } from "../../population/index.ts";
import type { Rule, RuleContext } from "../engine/definition.ts";
import { absoluteText, evidenceOf, judgePatients } from "../engine/evidence.ts";
import { combine, HOLDS, type Judgement, undecided } from "../engine/judgement.ts";
import { totalOf } from "../facts/cumulative.ts";
import { isSameDrug } from "../facts/drugs.ts";
import { type DoseCounts, mostGiven } from "../facts/most-given.ts";

export const rule: Rule = { judge };

function judge(context: RuleContext): Judgement {
  const { protocol } = context;
  if (protocol.preparation?.incomplete) {
    return undecided("what is prepared was not understood as a whole", protocol.preparation.origin);
  }
  const written = amountsOf(protocol);
  if (written.length === 0) return HOLDS;
  const most = mostGiven(protocol);
  if ("limit" in most) return undecided(most.limit, written[0]?.amount.origin);
  return combine(written.map((one) => firstOver(one, most, context)));
}

function amountsOf({ preparation }: Protocol): AmountAtHand[] {
  const items = preparation?.items ?? [];
  return items.flatMap((item) => (item.kind === "at-hand" ? (item.amounts ?? []) : []));
}

/** What is found of the first way of giving most that needs more than lies ready; else why one is not decided. */
function firstOver(one: AmountAtHand, most: readonly DoseCounts[], context: RuleContext): Judgement {
  const judged = most.map((counts) => judgeAmount(one, counts, context));
  return judged.find(({ found }) => found.length > 0) ?? combine(judged);
}

function judgeAmount({ agent, amount }: AmountAtHand, counts: DoseCounts, context: RuleContext): Judgement {
  const { protocol } = context;
  if (!agent) return undecided("what is at hand is not known", amount.origin);
  const isVolume = amount.unit.dimension.volume === VOLUME.volume;
  const { origin } = amount;
  const total = totalOf([agent], counts, protocol, isVolume ? "volume" : "mass");
  if (total.kind === "unknown") return { found: [], undecided: [total] };
  const unit = isVolume ? "mL" : (massUnitIn(amount.unit.symbol) ?? "mg");
  const given = protocol.doses.find((dose) => isSameDrug(dose.agent, agent));
  return judgePatients(
    context,
    { amount: total.amount, is: "at-most", limit: inBase(amount), origin },
    (broken) => ({
      origin,
      what: `${quantityText(amount)} of ${agent.name} are at hand, and the protocol gives some patients more: ${regionsText(broken.regions)}.`,
      label: "too little at hand",
      next: "Have more at hand; or accept this finding, with the reason: where the rest comes from, and how soon.",
      ...(given && { related: [{ origin: given.origin, note: "given here" }] }),
      patients: evidenceOf(broken, (witness) => absoluteText(witness, unit)),
    }),
  );
}
