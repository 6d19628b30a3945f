import {
  fromBase,
  greater,
  inBase,
  intersect,
  isEmpty,
  quantityText,
  type Rational,
  sameDimension,
} from "@limbwright/shared/quantity";
import type { Agent, Dose, Maximum, Protocol } from "../../model/index.ts";
import type { AskedUpTo, StatedRule, UpTo } from "../engine/definition.ts";
import type { Words } from "../engine/judgement.ts";
import { parametersFor } from "../engine/parameters.ts";
import { answeredMaxima } from "./answers.ts";
import { agesOfLabel, LABEL_MAXIMA } from "./label-maxima.ts";
import { isPerWeight, limitInUnit, patientsUnder } from "./maximum.ts";

/**
 * A dose that is accepted up to a value: of the formulary's maxima of its drug that are measured like the value, the greatest is raised
 * to it, for this dose alone; a lower one for some ages counts on beside it. The published maxima, which are parameters of `labels`, are held against it beside them, so that
 * nothing goes past these.
 */
export const upToMaximum = (labels: Labels): UpTo => ({
  refusal: (asked) => {
    const { protocol, subject } = asked;
    const dose = doseNamed(asked);
    if (!dose) {
      return {
        what: `\`${protocol.name}\` has no dose called \`${subject}\`.`,
        label: "no such dose",
        next: "Check the spelling, or remove the acceptance.",
      };
    }
    const { agent } = dose;
    if (!agent) return undefined;
    return notLikeMaximum(agent, asked) ?? beyondPublished(agent, asked, labels);
  },
  withValue: (asked) => ({
    ...asked.protocol,
    doses: asked.protocol.doses.map((dose) =>
      dose.name === asked.subject && dose.agent
        ? { ...dose, agent: withRaised(dose.agent, asked, labels) }
        : dose,
    ),
  }),
});

type Labels = Pick<StatedRule, "id" | "parameters">;

function doseNamed({ protocol, subject }: AskedUpTo): Dose | undefined {
  return protocol.doses.find(({ name }) => name === subject);
}

function withRaised(agent: Agent, asked: AskedUpTo, labels: Labels): Agent {
  const { value, protocol } = asked;
  const most = greatestLike(agent, asked);
  const isRaised = (maximum: Maximum) =>
    isLike(maximum, value) &&
    most !== undefined &&
    inBase(maximum.limit).equals(most) &&
    most.compare(inBase(value)) < 0;
  const raised = agent.maxima.map((maximum) => (isRaised(maximum) ? { ...maximum, limit: value } : maximum));
  return { ...agent, maxima: [...raised, ...publishedMaxima(agent, protocol, labels)] };
}

/** The greatest maximum of the value's kind that somebody here is under: a lower one for some ages is another maximum. */
function greatestLike({ maxima }: Agent, { value, box }: AskedUpTo): Rational | undefined {
  return maxima
    .filter((maximum) => isLike(maximum, value) && patientsUnder(box, maximum))
    .map(({ limit }) => inBase(limit))
    .reduce<Rational | undefined>((most, one) => (most ? greater(most, one) : one), undefined);
}

function isLike({ limit }: Maximum, value: AskedUpTo["value"]): boolean {
  return sameDimension(limit.unit.dimension, value.unit.dimension);
}

/** What is published as the most of a drug, as far as the rules know, with the ages it is for. */
function publishedMaxima(agent: Agent, { localRules }: Protocol, labels: Labels): Maximum[] {
  const { nameOrigin: origin } = agent;
  const parameter = parametersFor(labels, localRules);
  return LABEL_MAXIMA.filter(({ isOf }) => isOf(agent)).map((label) => {
    const { value, unit } = parameter(label.parameter);
    const ages = agesOfLabel(label, { parameter });
    return {
      limit: { ...fromBase(value, unit), origin },
      ...(label.ages !== "everybody" && { ages }),
      origin,
    };
  });
}

function notLikeMaximum({ name, maxima }: Agent, { value }: AskedUpTo): Words | undefined {
  if (maxima.some((maximum) => isLike(maximum, value))) return undefined;
  const { symbol } = value.unit;
  const written = maxima.map(({ limit }) => quantityText(limit));
  return {
    what: `The formulary gives ${name} no maximum in ${symbol}, so a value in ${symbol} covers nothing.`,
    label: "not like a maximum",
    next: `Write the value like the maximum that the dose is over${written.length > 0 ? ` (${written.join(", ")})` : ""}.`,
  };
}

/** Past what is published for everybody who is covered, or where nothing is published that could bound it. */
function beyondPublished(
  agent: Agent,
  { value, protocol, box }: AskedUpTo,
  labels: Labels,
): Words | undefined {
  const isByWeight = isPerWeight(value.unit.dimension);
  const answered = answeredMaxima(agent, protocol).map(({ maximum }) => maximum);
  const bounds = [...publishedMaxima(agent, protocol, labels), ...answered].filter(
    ({ limit, ages }) =>
      isPerWeight(limit.unit.dimension) === isByWeight && !isEmpty(intersect(ages ?? {}, box.age ?? {})),
  );
  if (bounds.length === 0) {
    return {
      what: `No published maximum of ${agent.name} ${isByWeight ? "by weight" : "in all"} is known here; nothing bounds what is accepted, so it covers nothing.`,
      label: "nothing published",
      next: "Lower the dose to the formulary's maximum.",
    };
  }
  const isWithin = ({ limit }: Maximum) =>
    (limitInUnit(agent, { limit: value, origin: value.origin }, limit.unit.dimension)?.compare(
      inBase(limit),
    ) ?? 1) <= 0;
  if (bounds.some(isWithin)) return undefined;
  const most = bounds.reduce((a, b) => (inBase(a.limit).compare(inBase(b.limit)) < 0 ? b : a));
  const published = quantityText(most.limit);
  return {
    what: `${quantityText(value)} of ${agent.name} is over the published ${published}, past which nobody may accept a dose; so it covers nothing.`,
    label: `over the published ${published}`,
    next: `Write ${published} or less, and lower the dose to it.`,
  };
}
