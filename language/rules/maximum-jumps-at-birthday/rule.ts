import { amountText, contains, dayOfAgeText, type Rational, ratio } from "@limbwright/shared/quantity";
import { type Agent, massUnitOfAgent } from "../../model/index.ts";
import { type Box, type Expression, evaluate, findExtremes, patientText } from "../../population/index.ts";
import type { Rule, RuleContext } from "../engine/definition.ts";
import { combine, found, HOLDS, type Judgement, undecided } from "../engine/judgement.ts";
import { findInjectedDrugs, type InjectedDrug } from "../facts/injected-drugs.ts";
import { isVolumeLimit, limitExpression } from "../facts/maximum.ts";

const MONTH = ratio(1, 12);

export const rule: Rule = {
  judge: (context) =>
    combine(findInjectedDrugs(context.protocol).flatMap((drug) => judgeDrug(drug, context))),
};

function judgeDrug(drug: InjectedDrug, context: RuleContext): Judgement[] {
  const { agent, origin } = drug;
  if (!agent) return [undecided("an injected drug is not known", origin)];
  return changesIn(agent, context.box).map((change) => judgeChange(agent, change, drug, context));
}

/** The ages (years) at which a maximum begins or ends and that patients of the box have before and behind them. */
function changesIn({ maxima }: Agent, { age }: Box): Rational[] {
  const edges = maxima.flatMap(({ ages }) => [ages?.lower, ages?.upper].flatMap((edge) => edge?.value ?? []));
  const inside = edges.filter((edge) => contains(age ?? {}, edge) && contains(age ?? {}, edge.sub(MONTH)));
  return inside.filter((edge, at) => inside.findIndex((other) => other.equals(edge)) === at);
}

function judgeChange(
  agent: Agent,
  change: Rational,
  { origin }: InjectedDrug,
  { box, isCancelled }: RuleContext,
): Judgement {
  const before = maximumAt(agent, change.sub(MONTH));
  const after = maximumAt(agent, change);
  if (!before || !after) return HOLDS;
  const gained = findExtremes({ kind: "difference", left: after, right: before }, box, {
    cancelled: isCancelled,
  });
  if (gained.kind === "not-decided") return undecided(gained.limit, origin);
  const most = [gained.greatest, gained.least].flatMap((one) => (one.kind === "endless" ? [] : [one]));
  const [worst] = most.sort((a, b) => b.value.abs().compare(a.value.abs()));
  const doses = worst && [before, after].map((limit) => evaluate(limit, worst.patient));
  if (!worst || worst.value.equals(0) || !doses?.[0] || !doses[1]) return HOLDS;
  const [young, old] = doses.map((dose) => amountText(dose as Rational, massUnitOfAgent(agent)));
  const day = dayOfAgeText(change);
  return found({
    origin,
    what: `The maximum of ${agent.name} jumps at ${patientText(worst.patient)}: ${young} the day before ${day}, ${old} from it.`,
    label: `jumps on ${day}`,
    next: "Keep it if the formulary means it; otherwise give both ages the same maximum.",
  });
}

/** The least mass (mg) that all maxima for an age (years) allow; undefined where none has one. */
function maximumAt({ maxima }: Agent, age: Rational): Expression | undefined {
  const limits = maxima.filter((one) => !isVolumeLimit(one) && contains(one.ages ?? {}, age));
  const [first, ...others] = limits.map(limitExpression);
  return others.reduce<Expression | undefined>(
    (left, right) => left && { kind: "lesser", left, right },
    first,
  );
}
