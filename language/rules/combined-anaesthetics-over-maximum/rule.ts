import type { PatientEvidence } from "@limbwright/shared/finding";
import {
  amountText,
  decimalText,
  type Interval,
  inBase,
  intersect,
  isEmpty,
  type Rational,
  rational,
  ZERO,
} from "@limbwright/shared/quantity";
import { listText } from "@limbwright/shared/text";
import { type Maximum, massUnitOfAgent } from "../../model/index.ts";
import {
  type Box,
  bandFaults,
  compareShares,
  type Expression,
  evaluate,
  type Patient,
  patientText,
  regionsText,
  type Share,
  type SharesOver,
} from "../../population/index.ts";
import type { Rule, RuleContext } from "../engine/definition.ts";
import { whom } from "../engine/evidence.ts";
import { type Detected, HOLDS, type Judgement, type Undecided, undecided } from "../engine/judgement.ts";
import { totalOf } from "../facts/cumulative.ts";
import { agentsIn, type Drug, drugsInDoses, isLocalAnaesthetic } from "../facts/drugs.ts";
import { isVolumeLimit, lackingMaximum, limitExpression } from "../facts/maximum.ts";
import type { DoseCounts } from "../facts/most-given.ts";
import { type Giving, judgeOverCounts } from "../facts/over-counts.ts";
import { countsText, givingsOf } from "../facts/shown-run.ts";

export const rule: Rule<"runs"> = {
  needs: ["runs"],
  judge: judgeProtocol,
};

function judgeProtocol(context: RuleContext<"runs">): Judgement {
  if (drugsInDoses(context.protocol).length < 2) return HOLDS;
  return judgeOverCounts(context, {
    isOver: (counts) => judgeCounts(counts, context)?.kind === "over",
    words: (counts, givings) => tellOver(counts, givings, context),
    atMost: (counts, limit) => judgeMost(counts, limit, context),
  });
}

function judgeMost(counts: DoseCounts, limit: string, context: RuleContext<"runs">): Judgement {
  const answer = judgeCounts(counts, context);
  if (!answer || answer.kind === "holds") return HOLDS;
  if (answer.kind !== "over") return { found: [], undecided: [answer] };
  const drugs = answer.portions.map(({ drug }) => drug);
  return undecided(
    `a run that gives ${countsText(drugs, counts, context.protocol)} would give more than one whole maximum in all (${regionsText(answer.regions)}); ${limit}`,
  );
}

/** A drug of a run with its total and its least maximum, both in mg. */
interface Portion extends Share {
  readonly drug: Drug;
}

type Over = SharesOver & { readonly portions: readonly Portion[] };

type Answer = { readonly kind: "holds" } | Over | ({ readonly kind: "not-decided" } & Undecided);

/** Undefined where the counts give fewer than two local anaesthetics. */
function judgeCounts(counts: DoseCounts, context: RuleContext<"runs">): Answer | undefined {
  const given = drugsInDoses(context.protocol).filter(({ agents }) =>
    context.protocol.doses.some(
      (dose) =>
        (counts.get(dose.name) ?? 0) > 0 && agentsIn(dose).some((agent) => agent && agents.includes(agent)),
    ),
  );
  const anaesthetics = given.filter(({ agents }) => agents.some(isLocalAnaesthetic));
  const [withoutKind] = given.filter(
    (drug) => !anaesthetics.includes(drug) && drug.agents.every(({ kind }) => !kind),
  );
  if (anaesthetics.length > 0 && withoutKind) {
    return notDecided(
      `the formulary does not say what kind of drug ${withoutKind.agent.name} is`,
      withoutKind,
    );
  }
  if (anaesthetics.length < 2) return undefined;
  const portions: Portion[] = [];
  for (const drug of anaesthetics) {
    const portion = portionOf(drug, counts, context);
    if ("kind" in portion) return portion;
    portions.push(portion);
  }
  const answer = compareShares(portions, context.box, { cancelled: context.isCancelled });
  return answer.kind === "over" ? { ...answer, portions } : answer;
}

function portionOf(drug: Drug, counts: DoseCounts, { protocol, box }: RuleContext): Portion | Answer {
  const total = totalOf(drug.agents, counts, protocol, "mass");
  if (total.kind === "unknown") return { ...total, kind: "not-decided" };
  const { name, nameOrigin } = drug.agent;
  const [lacking] = lackingMaximum({ name, maxima: drug.maxima }, box, nameOrigin);
  if (lacking) return { ...lacking, kind: "not-decided" };
  const limit = leastMaximum(drug, box);
  if (!limit) {
    return notDecided(
      `a maximum of ${drug.agent.name} is a volume, and it has not exactly one concentration`,
      drug,
    );
  }
  return { drug, amount: total.amount, limit };
}

function notDecided(limit: string, { agent }: Drug): Answer {
  return { kind: "not-decided", limit, origin: agent.nameOrigin };
}

function tellOver(
  counts: DoseCounts,
  givings: readonly Giving[],
  context: RuleContext<"runs">,
): Omit<Detected, "run"> {
  const answer = judgeCounts(counts, context);
  const over = answer?.kind === "over" ? answer : undefined;
  const drugs = over?.portions.map(({ drug }) => drug) ?? [];
  const { last, related } = givingsOf(drugs, givings, context.protocol);
  const names = listText(drugs.map(({ agent }) => agent.name));
  const who = over ? ` (${regionsText(over.regions)})` : "";
  return {
    origin: last ?? context.protocol.nameOrigin,
    what: `${countsText(drugs, counts, context.protocol)}: ${names} together come to more than one whole maximum${who}.`,
    label: "over the maximum together",
    next: "Lower the doses until their shares of the maxima add up to 100 % at most, or use one local anaesthetic.",
    related: [
      ...related,
      ...drugs.map(({ agent }) => ({ origin: agent.nameOrigin, note: `the maxima of ${agent.name}` })),
    ],
    ...(over && { patients: evidence(over) }),
  };
}

function evidence({ regions, worst, clean, portions }: Over): PatientEvidence {
  const tellPatient = (patient: Patient) => ({
    patient: patientText(patient) || "every patient",
    says: fractionsText(portions, patient),
  });
  return {
    ...whom(regions),
    ...(worst && { worst: tellPatient(worst) }),
    example: tellPatient(clean),
  };
}

/** "lidocaine 200 mg, 66.67 % of its maximum; prilocaine 200 mg, 50 %; 116.67 % in all". */
function fractionsText(portions: readonly Portion[], patient: Patient): string {
  const parts = portions.map(({ drug, amount, limit }) => {
    const given = evaluate(amount, patient) ?? ZERO;
    const most = evaluate(limit, patient);
    return { drug, given, share: most ? given.div(most) : ZERO };
  });
  const sum = parts.reduce((all, { share }) => all.add(share), ZERO);
  const named = parts.map(
    ({ drug, given, share }) =>
      `${drug.agent.name} ${amountText(given, massUnitOfAgent(drug.agent))}, ${percent(share)} of its maximum`,
  );
  return `${named.join("; ")}; ${percent(sum)} in all`;
}

function percent(share: Rational): string {
  return `${decimalText(share.mul(rational(100))).text} %`;
}

/**
 * The least of a drug's maxima that hold for a patient, in mg. It has no value for ages without a maximum.
 * Undefined where there is none, or where one is a volume and the drug has not exactly one concentration.
 */
function leastMaximum(drug: Drug, box: Box): Expression | undefined {
  const limits: Limit[] = [];
  for (const maximum of drug.maxima) {
    const value = inMass(drug, maximum);
    if (!value) return undefined;
    limits.push({ ages: maximum.ages ?? {}, value });
  }
  const rows = agesApart(limits, box).flatMap((range) => {
    const value = leastOf(limits.filter(({ ages }) => isWithin(range, ages)));
    return value ? [{ range, value }] : [];
  });
  const [only, another] = rows;
  if (!only) return undefined;
  const hasAges = another !== undefined || limits.some(({ ages }) => ages.lower || ages.upper);
  return hasAges ? { kind: "bands", variable: "age", rows } : only.value;
}

interface Limit {
  readonly ages: Interval;
  readonly value: Expression;
}

function inMass({ agents }: Drug, maximum: Maximum): Expression | undefined {
  const limit = limitExpression(maximum);
  if (!isVolumeLimit(maximum)) return limit;
  const [only, another] = agents.flatMap(({ concentrations }) => concentrations.map(inBase));
  return only && !another ? { kind: "scaled", factor: only, of: limit } : undefined;
}

/** The covered ages, cut wherever a maximum begins or ends. */
function agesApart(limits: readonly Limit[], box: Box): Interval[] {
  let parts: Interval[] = [box.age ?? {}];
  for (const { ages } of limits) {
    parts = parts.flatMap((part) => [intersect(part, ages), ...bandFaults([ages], part).gaps]);
  }
  return parts.filter((part) => !isEmpty(part));
}

function isWithin(part: Interval, ages: Interval): boolean {
  return bandFaults([ages], part).gaps.length === 0;
}

function leastOf(limits: readonly Limit[]): Expression | undefined {
  return limits
    .map(({ value }) => value)
    .reduce<Expression | undefined>(
      (left, right) => (left ? { kind: "lesser", left, right } : right),
      undefined,
    );
}
