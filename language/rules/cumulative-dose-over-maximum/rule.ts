import type { Maximum } from "../../model/index.ts";
import { type Box, type Comparison, compare, regionsText } from "../../population/index.ts";
import type { Rule, RuleContext } from "../engine/definition.ts";
import { evidenceOf } from "../engine/evidence.ts";
import { combine, type Detected, HOLDS, type Judgement, undecided } from "../engine/judgement.ts";
import { answeredMaxima } from "../facts/answers.ts";
import { type Measured, totalOf } from "../facts/cumulative.ts";
import { type Drug, drugsInDoses } from "../facts/drugs.ts";
import {
  isVolumeLimit,
  lackingMaximum,
  limitText,
  overText,
  patientsUnder,
  withinLimit,
} from "../facts/maximum.ts";
import { type DoseCounts, mostGiven } from "../facts/most-given.ts";
import { type Giving, judgeOverCounts } from "../facts/over-counts.ts";
import { countsText, givingsOf } from "../facts/shown-run.ts";

export const rule: Rule<"runs"> = {
  needs: ["runs"],
  judge: (context) => combine(drugsInDoses(context.protocol).map((drug) => judgeDrug(drug, context))),
};

function judgeDrug(drug: Drug, context: RuleContext<"runs">): Judgement {
  const { agent, agents, maxima } = drug;
  const answered = agents.flatMap((one) =>
    answeredMaxima(one, context.protocol).map(({ maximum }) => maximum),
  );
  const lacking = lackingMaximum({ name: agent.name, maxima }, context.box, agent.nameOrigin);
  return combine([
    ...[...maxima, ...answered].map((maximum) => judgeMaximum({ drug, maximum, context })),
    { found: [], undecided: lacking.length > 0 && givesSeveral(drug, context) ? lacking : [] },
  ]);
}

/** One maximum of one drug. */
interface Question {
  readonly drug: Drug;
  readonly maximum: Maximum;
  readonly context: RuleContext<"runs">;
}

function judgeMaximum(question: Question): Judgement {
  const { context, maximum } = question;
  const box = patientsUnder(context.box, maximum);
  if (!box) return HOLDS;
  return judgeOverCounts(context, {
    isOver: (counts) => compareTotal(question, counts, box)?.kind === "broken",
    words: (counts, givings) => tellTotal(question, counts, givings, compareTotal(question, counts, box)),
    atMost: (counts, limit) => judgeMost(question, counts, limit, box),
  });
}

/** What no run exceeds is within the maximum, or it is not known whether such a run exists. */
function judgeMost(question: Question, counts: DoseCounts, limit: string, box: Box): Judgement {
  const answer = compareTotal(question, counts, box);
  if (!answer || answer.kind === "holds") return HOLDS;
  if (answer.kind !== "broken") return undecided(answer.limit);
  const { drug, maximum, context } = question;
  return undecided(
    `a run that gives ${countsText([drug], counts, context.protocol)} would give more ${drug.agent.name} than ${limitText(maximum)} (${regionsText(answer.regions)}); ${limit}`,
    maximum.origin,
  );
}

/** The total of a run held against the maximum; undefined where a single giving is all there is. */
function compareTotal({ drug, maximum, context }: Question, counts: DoseCounts, box: Box) {
  const total = totalIn(drug, counts, context, isVolumeLimit(maximum) ? "volume" : "mass");
  if (total.kind === "unknown") return { kind: "not-decided", limit: total.limit } satisfies Comparison;
  if (total.givings < 2) return undefined;
  const { amount, is, limit, measure } = withinLimit(total.amount, maximum);
  return compare(amount, is, limit, box, { measure, cancelled: context.isCancelled });
}

function totalIn(drug: Drug, counts: DoseCounts, { protocol }: RuleContext, measured: Measured) {
  return totalOf(drug.agents, counts, protocol, measured);
}

function givesSeveral(drug: Drug, context: RuleContext<"runs">): boolean {
  const most = mostGiven(context.protocol);
  if ("limit" in most) return true;
  return most.some((counts) => {
    const total = totalIn(drug, counts, context, "mass");
    return total.kind === "unknown" || total.givings > 1;
  });
}

function tellTotal(
  { drug, maximum, context }: Question,
  counts: DoseCounts,
  givings: readonly Giving[],
  answer: Comparison | undefined,
): Omit<Detected, "run"> {
  const { last, related } = givingsOf([drug], givings, context.protocol);
  const broken = answer?.kind === "broken" ? answer : undefined;
  const who = broken ? ` (${regionsText(broken.regions)})` : "";
  return {
    origin: last ?? maximum.origin,
    what: `${countsText([drug], counts, context.protocol)}: together more ${drug.agent.name} than ${limitText(maximum)}${who}.`,
    label: `over ${limitText(maximum)} in all`,
    next: "Lower one of the doses, or give it less often; `total up to` ends an infusion, and nothing else.",
    related: [...related, { origin: maximum.origin, note: "the maximum" }],
    ...(broken && { patients: evidenceOf(broken, (witness) => overText(witness, maximum)) }),
  };
}
