import type { AnsweredBy } from "@limbwright/shared/finding";
import { inBase, quantityText } from "@limbwright/shared/quantity";
import {
  type Agent,
  agentsOf,
  allSteps,
  canonicalName,
  type Maximum,
  type MaximumAnswer,
  type Protocol,
} from "../../model/index.ts";
import { agentsIn, isKnownAnaesthetic, isLocalAnaesthetic, isOtherDrug, isVasoconstrictor } from "./drugs.ts";
import { hasPublishedMaximum } from "./label-maxima.ts";
import { isPerWeight, limitInUnit } from "./maximum.ts";
import { dangerOf, publishedMixture } from "./mixed-in-drugs.ts";

/** A maximum that local rules answer, and who answers for it. */
export interface Answered {
  readonly maximum: Maximum;
  readonly by: AnsweredBy;
}

/** What keeps an answer from being taken. */
export interface RefusedAnswer {
  readonly label: string;
  /** What completes "…, and none can be answered: it is a local anaesthetic". */
  readonly says: string;
  readonly next: string;
}

/** The maxima of a drug as local rules answer them, on whatever day; without those that are refused. */
export function answeredMaxima(agent: Agent, protocol: Protocol): Answered[] {
  return answersFor(agent, protocol)
    .filter((answer) => refusalOf(answer, agent, protocol) === undefined)
    .map((answer) => ({
      maximum: { limit: answer.limit, origin: answer.origin },
      by: {
        what: `at most ${quantityText(answer.limit)} of ${agent.name}`,
        source: answer.source,
        because: answer.because,
        by: answer.by,
        until: answer.until,
        origin: answer.origin,
      },
    }));
}

/** Every maximum that a drug is held against: the formulary's, and those that local rules answer. */
export function maximaOf(agent: Agent, protocol: Protocol): Maximum[] {
  return [...agent.maxima, ...answeredMaxima(agent, protocol).map(({ maximum }) => maximum)];
}

/** The answers for a drug by its name: for no other name of it, so that an answer covers what was looked at and nothing else. */
export function answersFor({ name }: Agent, { localRules }: Protocol): readonly MaximumAnswer[] {
  const all = localRules?.answers ?? [];
  return all.filter(({ agent }) => canonicalName(agent) === canonicalName(name));
}

/** All that local rules answer about the drugs of a protocol. */
export function answersIn(protocol: Protocol): MaximumAnswer[] {
  return agentsOf(protocol).flatMap((agent) => answersFor(agent, protocol));
}

/** Why an answer is not taken, on whatever day; undefined where it is. */
export function refusalOf(
  answer: MaximumAnswer,
  agent: Agent,
  protocol: Protocol,
): RefusedAnswer | undefined {
  return (
    whyNotAnswered(agent, protocol) ??
    afterReview(answer, protocol) ??
    notPossible(answer) ??
    overTrials(answer, agent, protocol)
  );
}

/** Why nobody may answer for the maximum of a drug; undefined where local rules may. */
export function whyNotAnswered(agent: Agent, protocol: Protocol): RefusedAnswer | undefined {
  if (isLocalAnaesthetic(agent) || isKnownAnaesthetic(agent)) {
    return {
      label: "a local anaesthetic",
      says: "it is a local anaesthetic",
      next: "Use plain lidocaine or prilocaine, of which maxima are published.",
    };
  }
  if (hasPublishedMaximum(agent)) {
    return {
      label: "published already",
      says: "its published maximum is known here",
      next: "Remove the answer. A lower value is set with `set agent-maximum-above-label.…`.",
    };
  }
  return isAtTheBlock(agent, protocol) ? unknownAtTheBlock(agent) : unknownKind(agent);
}

/** What is injected or given into the tissues may be a local anaesthetic under a name that nobody knows. */
function unknownAtTheBlock(agent: Agent): RefusedAnswer | undefined {
  if (publishedMixture(agent) && !isVasoconstrictor(agent) && !dangerOf(agent)) return undefined;
  return {
    label: "not known in the block",
    says: "it is injected or given into the tissues, and no published use there is known here",
    next: "Take it out, or correct its name and its ATC code.",
  };
}

function unknownKind(agent: Agent): RefusedAnswer | undefined {
  if (agent.kind !== undefined || isOtherDrug(agent)) return undefined;
  return {
    label: "an unknown drug",
    says: "the formulary does not say what kind of drug it is",
    next: "Write its `kind` and its ATC code in the formulary.",
  };
}

/** Whether a drug is injected for the block, mixed into what is, or given into the tissues. */
function isAtTheBlock(agent: Agent, protocol: Protocol): boolean {
  const steps = [...allSteps(protocol)];
  const isThere = (dose: string) =>
    steps.some(
      (step) =>
        (step.kind === "inject" && step.dose === dose) ||
        (step.kind === "give" && step.as !== undefined && step.dose === dose),
    );
  return protocol.doses.some((dose) => agentsIn(dose).includes(agent) && isThere(dose.name));
}

function afterReview({ until }: MaximumAnswer, { reviewBy }: Protocol): RefusedAnswer | undefined {
  if (!reviewBy || until <= reviewBy.value) return undefined;
  return {
    label: "after the review",
    says: `it ends after the review of the protocol, which is due by ${reviewBy.value}`,
    next: `Write a day up to ${reviewBy.value}: whoever reviews the protocol looks at the answer, too.`,
  };
}

function notPossible({ limit }: MaximumAnswer): RefusedAnswer | undefined {
  if (limit.value.compare(0) > 0) return undefined;
  return { label: "no amount", says: "a maximum is over zero", next: "Write the maximum that is published." };
}

/** Behind the cuff, no more than what trials of this block gave: beyond that nothing is published. */
function overTrials(
  { limit, origin }: MaximumAnswer,
  agent: Agent,
  protocol: Protocol,
): RefusedAnswer | undefined {
  const most = isAtTheBlock(agent, protocol) ? publishedMixture(agent)?.most : undefined;
  if (!most) return undefined;
  const tried = quantityText(most);
  const isLike = isPerWeight(limit.unit.dimension) === isPerWeight(most.unit.dimension);
  const answered = isLike ? limitInUnit(agent, { limit, origin }, most.unit.dimension) : undefined;
  if (answered && answered.compare(inBase(most)) <= 0) return undefined;
  return {
    label: answered ? `over the ${tried} of any trial` : `not like the ${tried} of trials`,
    says: `no trial of this block gave more than ${tried}`,
    next: `Write the maximum that is published, ${tried} or less.`,
  };
}
