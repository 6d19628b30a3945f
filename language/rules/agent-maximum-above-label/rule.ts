import {
  fromBase,
  type Interval,
  intersect,
  isEmpty,
  quantityText,
  requireUnit,
} from "@limbwright/shared/quantity";
import { type Agent, agentsOf, type Maximum } from "../../model/index.ts";
import { bandFaults, rangeText } from "../../population/index.ts";
import {
  type AgentContext,
  combine,
  type Detected,
  found,
  HOLDS,
  type Judgement,
  type Rule,
  type RuleContext,
  undecided,
} from "../engine/definition.ts";
import type { ParameterValue } from "../engine/parameter.ts";
import { isLocalAnaesthetic } from "../facts/known-agents.ts";
import { agesText, isPerWeight, limitInUnit, limitText } from "../facts/maximum.ts";
import { LABEL_MAXIMA, type LabelMaximum } from "./labels.ts";

export const rule: Rule = {
  id: "agent-maximum-above-label",
  title: "The formulary's maxima are there, and none is above the published one",
  group: "dose",
  severity: "unsafe",
  why: "Every dose is held against the formulary's maximum; one that is too high, or missing, lets every dose through.",
  sources: [
    {
      source: "lidocaine-label",
      says: "intravenous regional anaesthesia: at most 4 mg/kg in adults, 3 mg/kg in children",
    },
    {
      source: "lidocaine-dosages",
      says: "intravenous regional anaesthesia: 10 to 60 mL of 0.5 %, 50 to 300 mg",
    },
    {
      source: "miller-block",
      says: "prilocaine 3 mg/kg of 0.5 % for an arm: a dose that a handbook gives, not a limit of a label",
    },
    { source: "clark-update", says: "prilocaine 40 mL of 0.5 % for an arm, 60 mL for a leg, at most 400 mg" },
    { source: "theatre-card", says: "lipid emulsion 20 %: at most 12 mL/kg" },
    { source: "methylthioninium-formulary", says: "methylthioninium: at most 7 mg/kg a course" },
    { source: "harris-1965", says: "lidocaine 1.5 mg/kg preferred to 3", disagrees: true },
    { source: "miller-block", says: "lidocaine about 3 mg/kg, 40 mL of 0.5 %, for an arm", disagrees: true },
    {
      source: "emergency-reference",
      says: "lidocaine and prilocaine 3 mg/kg (0.6 mL/kg of 0.5 %), in children 1 to 1.5 mg/kg",
      disagrees: true,
    },
    {
      source: "clark-update",
      says: "lidocaine 250 mg and prilocaine 400 mg at 70 kg, which are 3.57 and 5.71 mg/kg; the second is above the 3 mg/kg that this rule takes",
      disagrees: true,
    },
    { source: "regional-atlas", says: "lidocaine 12 to 15 mL of 2 %, 240 to 300 mg", disagrees: true },
    {
      source: "forearm-and-upper-arm",
      says: "lidocaine 100 mg behind a forearm cuff against 200 mg behind one on the upper arm",
      disagrees: true,
    },
    {
      source: "davidson-2002",
      says: "children, 3 mg/kg: 279 aged 3 to 16 with either drug",
      disagrees: true,
    },
    {
      source: "colizza-1993",
      says: "children, 3 mg/kg: 139 aged 4 to 18 with lidocaine and no toxicity",
      disagrees: true,
    },
    {
      source: "guay-2009",
      says: "harm below these maxima: the lowest dose with a seizure was lidocaine 1.4 mg/kg, prilocaine 4 mg/kg; with an arrest lidocaine 2.5 mg/kg. No maximum makes a cuff that fails harmless",
      disagrees: true,
    },
    {
      source: "below-the-knee",
      says: "prilocaine 400 mg behind a calf cuff gave effects on the brain in 5 of 6 volunteers",
      disagrees: true,
    },
    {
      source: "schurg-1990",
      says: "prilocaine 200 mg behind an ankle cuff, and 100 mg more if there is no block at 5 min",
      disagrees: true,
    },
    { source: "prilocaine-58-patients", says: "prilocaine 5 mg/kg, without cyanosis", disagrees: true },
    {
      source: "bier-block-chapter",
      says: "lidocaine 0.5 %, 1 mL/kg for an arm, which is 5 mg/kg and above the label",
      disagrees: true,
    },
    {
      source: "lidocaine-label",
      says: "lidocaine for other blocks: 4.5 mg/kg, 300 mg plain",
      disagrees: true,
    },
    { source: "abc-procedures", says: "lidocaine for other blocks: 4 mg/kg", disagrees: true },
    { source: "lidocaine-elsewhere", says: "lidocaine for other blocks: 200 mg", disagrees: true },
    { source: "emergency-handbook", says: "prilocaine 2.5 mg/kg", disagrees: true },
    {
      source: "prilocaine-characteristics",
      says: "prilocaine for other blocks: at most 400 mg in adults, 5 mg/kg in children over 6 months",
      disagrees: true,
    },
    {
      source: "poisoning-and-overdose",
      says: "prilocaine for other blocks: 6 mg/kg or 400 mg plain",
      disagrees: true,
    },
    {
      source: "prilocaine-dental-label",
      says: "prilocaine for other blocks: 600 mg from 70 kg and 8 mg/kg below",
      disagrees: true,
    },
    {
      source: "asra-2020-reported",
      says: "lipid emulsion about 12 mL/kg over the first 30 min",
      disagrees: true,
    },
    {
      source: "methylthioninium-label",
      says: "methylthioninium 1 mg/kg, once more after 1 h",
      disagrees: true,
    },
    {
      source: "methylthioninium-formulary",
      says: "methylthioninium 4 mg/kg where dapsone or aniline is the cause",
      disagrees: true,
    },
  ],
  parameters: LABEL_MAXIMA.map(({ parameter }) => parameter),
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
  readonly of: LabelMaximum;
  readonly value: ParameterValue;
  readonly ages: Interval;
}

function labelsOf(agent: Agent, context: AgentContext, covered: Interval): Label[] {
  return LABEL_MAXIMA.filter(({ isOf }) => isOf(agent)).flatMap((of) => {
    const ages = intersect(covered, agesOf(of, context));
    return isEmpty(ages) ? [] : [{ of, value: context.parameter(of.parameter.name), ages }];
  });
}

function agesOf({ ages }: LabelMaximum, context: AgentContext): Interval {
  const edge = context.parameter("child-age").value;
  if (ages === "adults") return { lower: { value: edge, closed: true } };
  return ages === "children" ? { upper: { value: edge, closed: false } } : {};
}

/** A child's maximum matters only to a protocol that covers children. */
function isForEveryProtocol({ of }: Label): boolean {
  return of.ages !== "children";
}

/** What one protocol adds: the maxima for its children, those it lacks, and those that nobody can compare. */
function judgeUsed(agent: Agent, context: RuleContext): Judgement {
  const labels = labelsOf(agent, context, context.box.age ?? {});
  const isGiven = context.protocol.doses.some(
    (dose) => dose.agent === agent || dose.adjuvants.some((adjuvant) => adjuvant.agent === agent),
  );
  const cannotCompare = agent.maxima.length > 0 || isLocalAnaesthetic(agent);
  if (labels.length === 0 && isGiven && cannotCompare) {
    return undecided(`no published maximum of ${agent.name} is known here`, agent.nameOrigin);
  }
  return combine([
    ...labels.filter((label) => !isForEveryProtocol(label)).map((label) => judgeWritten(agent, label)),
    ...(isGiven && !agent.contraindicated ? labels.map((label) => judgeMissing(agent, label)) : []),
  ]);
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

function limitLike(agent: Agent, maximum: Maximum, { of }: Label) {
  return limitInUnit(agent, maximum, requireUnit(of.parameter.unit).dimension);
}

function labelText({ of, value }: Label): string {
  return quantityText(fromBase(value.value, of.parameter.unit));
}

function tooHigh(agent: Agent, maximum: Maximum, label: Label): Detected {
  const most = labelText(label);
  const isForChildren = !isForEveryProtocol(label);
  const who = isForChildren ? ` for a child (${rangeText(label.ages, "years")})` : "";
  const line = isForChildren ? `maximum ${most} for age under ${ageEdge(label)}` : `maximum ${most}`;
  return {
    origin: maximum.limit.origin,
    what: `The formulary allows ${limitText(maximum)} of ${agent.name}${who}; the most that is published is ${most}.`,
    label: `over the published ${most}`,
    next: isForChildren ? `Add \`${line}\`.` : `Write \`${line}\` or less.`,
    ...(label.value.isLocal && { why: `${label.value.from} sets ${most}.` }),
    repairs: [
      isForChildren
        ? { title: `Add ${line}`, safety: "needs-a-look", changes: [insertion(maximum, `\n  ${line}`)] }
        : {
            title: `Write ${line}`,
            safety: "needs-a-look",
            changes: [{ origin: maximum.limit.origin, text: most }],
          },
    ],
  };
}

function ageEdge({ ages }: Label): string {
  return ages.upper ? quantityText(fromBase(ages.upper.value, "years")) : "";
}

function insertion({ origin }: Maximum, text: string) {
  return { origin: { ...origin, start: origin.end }, text };
}

function missing(agent: Agent, label: Label, gaps: readonly Interval[]): Detected {
  const isByWeight = isPerWeight(label.value.dimension);
  const isAnaesthetic = isLocalAnaesthetic(agent);
  return {
    origin: agent.nameOrigin,
    ...(!(isByWeight && isAnaesthetic) && { severity: "doubtful" as const }),
    what: `The formulary gives ${agent.name} no maximum ${isByWeight ? "by weight" : "in all"}${agesText(gaps)}; the published one is ${labelText(label)}.`,
    label: `no maximum ${isByWeight ? "by weight" : "in all"}`,
    next: `Add \`maximum ${labelText(label)}\`, or what your hospital allows below it.`,
  };
}
