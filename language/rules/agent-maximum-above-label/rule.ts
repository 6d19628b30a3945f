import { amountText, type Interval, inBase, intersect, isEmpty } from "@limbwright/shared/quantity";
import { type Agent, agentsOf, type Maximum, type Protocol } from "../../model/index.ts";
import { needsALook } from "../../model/text-changes.ts";
import { bandFaults, rangeText } from "../../population/index.ts";
import type { AgentContext, Rule, RuleContext } from "../engine/definition.ts";
import { combine, type Detected, found, HOLDS, type Judgement, undecided } from "../engine/judgement.ts";
import type { ParameterValue } from "../engine/parameter.ts";
import { type Answered, answeredMaxima, whyNotAnswered } from "../facts/answers.ts";
import { agentsIn, isLocalAnaesthetic } from "../facts/drugs.ts";
import { agesOfLabel, LABEL_MAXIMA, type LabelMaximum } from "../facts/label-maxima.ts";
import { agesText, isPerWeight, limitInUnit, limitText } from "../facts/maximum.ts";

export const rule: Rule = {
  judgeAgent: (agent, context) =>
    combine(
      labelsOf(agent, context, {})
        .filter(isForEveryProtocol)
        .map((label) => judgeWritten(agent, label)),
    ),
  judge: (context) => combine(agentsOf(context.protocol).map((agent) => judgeUsed(agent, context))),
};

/** A published maximum for an agent, with the ages among the patients it is for. */
interface Label {
  readonly of: Pick<LabelMaximum, "ages">;
  readonly value: Pick<ParameterValue, "value" | "unit" | "dimension" | "isLocal" | "from">;
  readonly ages: Interval;
  /** The words for where it stands: "published", or "answered" where local rules give it. */
  readonly known: "published" | "answered";
}

function labelsOf(agent: Agent, context: AgentContext, covered: Interval): Label[] {
  return LABEL_MAXIMA.filter(({ isOf }) => isOf(agent)).flatMap((of) => {
    const ages = intersect(covered, agesOfLabel(of, context));
    return isEmpty(ages) ? [] : [{ of, value: context.parameter(of.parameter), ages, known: "published" }];
  });
}

/** A child's maximum matters only to a protocol that covers children. */
function isForEveryProtocol({ of }: Label): boolean {
  return of.ages !== "children";
}

/** What one protocol adds: the maxima for its children, those it lacks, and those that nobody can compare. */
function judgeUsed(agent: Agent, context: RuleContext): Judgement {
  const labels = labelsOf(agent, context, context.box.age ?? {});
  const isGiven = context.protocol.doses.some((dose) => agentsIn(dose).includes(agent));
  if (labels.length === 0 && isGiven) return judgeUnknown(agent, context);
  return combine([
    ...labels.filter((label) => !isForEveryProtocol(label)).map((label) => judgeWritten(agent, label)),
    ...(isGiven && !agent.contraindicated ? labels.map((label) => judgeMissing(agent, label)) : []),
  ]);
}

/** A drug of which no maximum is known here: what local rules answer stands in its place, and is named as such. */
function judgeUnknown(agent: Agent, { protocol, box }: RuleContext): Judgement {
  const answers = answeredMaxima(agent, protocol);
  const cannotCompare = agent.maxima.length > 0 || isLocalAnaesthetic(agent);
  if (answers.length === 0) {
    return cannotCompare ? undecided(unknownText(agent, protocol), agent.nameOrigin) : HOLDS;
  }
  const labels = answers.map((answer) => labelOf(answer, box.age ?? {}));
  const limit = `no published maximum of ${agent.name} is known here`;
  return combine([
    ...labels.flatMap((label) => [judgeWritten(agent, label), judgeMissing(agent, label)]),
    { found: [], undecided: [{ limit, origin: agent.nameOrigin, answers: answers.map(({ by }) => by) }] },
  ]);
}

function unknownText(agent: Agent, protocol: Protocol): string {
  const limit = `no published maximum of ${agent.name} is known here`;
  const refused = whyNotAnswered(agent, protocol);
  return refused
    ? `${limit}, and none can be answered: ${refused.says}`
    : `${limit}; local rules may give one, with its source: \`answer maximum of ${agent.name} …\``;
}

function labelOf({ maximum, by }: Answered, ages: Interval): Label {
  const { unit } = maximum.limit;
  return {
    of: { ages: "everybody" },
    value: {
      value: inBase(maximum.limit),
      unit: unit.symbol,
      dimension: unit.dimension,
      isLocal: true,
      from: `"${by.by}"`,
    },
    ages,
    known: "answered",
  };
}

/** The maxima that are written, where they allow somebody more than the label. */
function judgeWritten(agent: Agent, label: Label): Judgement {
  const written = comparable(agent, label);
  const unknown = written.find((maximum) => limitLike(agent, maximum, label) === undefined);
  if (unknown) {
    return undecided(
      `without a concentration ${limitText(unknown)} cannot be held against a label`,
      unknown.origin,
    );
  }
  const isWithin = (maximum: Maximum) =>
    (limitLike(agent, maximum, label)?.compare(label.value.value) ?? 1) <= 0;
  const within = written.filter(isWithin).map(({ ages }) => ages ?? {});
  const { gaps } = bandFaults(within, label.ages);
  const above = written.filter(
    (maximum) => !isWithin(maximum) && gaps.some((gap) => !isEmpty(intersect(gap, maximum.ages ?? {}))),
  );
  return found(...above.map((maximum) => tooHigh(agent, maximum, label)));
}

function judgeMissing(agent: Agent, label: Label): Judgement {
  const written = comparable(agent, label).map(({ ages }) => ages ?? {});
  const { gaps } = bandFaults(written, label.ages);
  return gaps.length === 0 ? HOLDS : found(missing(agent, label, gaps));
}

/** The maxima of an agent that are by weight as the label's is, or absolute as it is. */
function comparable(agent: Agent, { value }: Label): Maximum[] {
  return agent.maxima.filter(
    ({ limit }) => isPerWeight(limit.unit.dimension) === isPerWeight(value.dimension),
  );
}

function limitLike(agent: Agent, maximum: Maximum, { value }: Label) {
  return limitInUnit(agent, maximum, value.dimension);
}

function labelText({ value }: Label): string {
  return amountText(value.value, value.unit);
}

function tooHigh(agent: Agent, maximum: Maximum, label: Label): Detected {
  const most = labelText(label);
  const isForChildren = !isForEveryProtocol(label);
  const who = isForChildren ? ` for a child (${rangeText(label.ages, "years")})` : "";
  const line = isForChildren ? `maximum ${most} for age ${childrenOf(label)}` : `maximum ${most}`;
  return {
    origin: maximum.limit.origin,
    what: `The formulary allows ${limitText(maximum)} of ${agent.name}${who}; the most that is ${label.known} is ${most}.`,
    label: `over the ${label.known} ${most}`,
    next: isForChildren ? `Add \`${line}\`.` : `Write \`${line}\` or less.`,
    ...(label.value.isLocal && {
      why: `${label.value.from} ${label.known === "answered" ? "answers" : "sets"} ${most}.`,
    }),
    repairs: isForChildren
      ? needsALook(`Add ${line}`, lineBehindMaximum(maximum, line))
      : needsALook(`Write ${line}`, { origin: maximum.limit.origin, text: most }),
  };
}

/** Everybody under the age, also those whom the protocol does not cover. */
function childrenOf({ ages: { upper } }: Label): string {
  return rangeText({ ...(upper && { upper }) }, "years");
}

function lineBehindMaximum({ origin }: Maximum, line: string) {
  return { origin: { ...origin, start: origin.end }, text: `\n  ${line}` };
}

function missing(agent: Agent, label: Label, gaps: readonly Interval[]): Detected {
  const isByWeight = isPerWeight(label.value.dimension);
  const isAnaesthetic = isLocalAnaesthetic(agent);
  return {
    origin: agent.nameOrigin,
    ...(!(isByWeight && isAnaesthetic) && { severity: "doubtful" as const }),
    what: `The formulary gives ${agent.name} no maximum ${isByWeight ? "by weight" : "in all"}${agesText(gaps)}; the ${label.known} one is ${labelText(label)}.`,
    label: `no maximum ${isByWeight ? "by weight" : "in all"}`,
    next: `Add \`maximum ${labelText(label)}\`, or what your hospital allows below it.`,
  };
}
