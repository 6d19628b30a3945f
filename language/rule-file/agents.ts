import { requiredUnit } from "@limbwright/shared/quantity";
import type { Agent as FileAgent } from "@limbwright/shared/rule-file";
import type { Agent } from "../model/index.ts";
import type { Marks } from "./marks.ts";
import { compareTexts, fileQuantity, inFixedOrder, rangeInUnit } from "./values.ts";

export function agentPart(marks: Marks, agent: Agent): FileAgent {
  const { kind, atc, diluent, contraindicated, supply } = agent;
  const part: FileAgent = {
    name: agent.name,
    ...(agent.title !== undefined && { title: agent.title }),
    ...(kind && { kind: kind.value }),
    ...(atc && { atc: atc.value }),
    concentrations: inFixedOrder(
      agent.concentrations.map((one) => marks.at(fileQuantity<"g/dL">(one), one.origin)),
    ),
    ...(supply && {
      supply: marks.at(
        { concentration: fileQuantity(supply.concentration), volume: fileQuantity(supply.volume) },
        supply.origin,
      ),
    }),
    ...(diluent && { diluent: diluent.value }),
    plain: agent.plain !== undefined,
    preservativeFree: agent.preservativeFree !== undefined,
    maxima: inFixedOrder(agent.maxima.map((maximum) => maximumPart(marks, maximum))),
    ...(contraindicated && { contraindicated: contraindicated.value }),
    cautions: inFixedOrder(
      agent.cautions.map(({ text, group, origin }) =>
        marks.at({ text, ...(group !== undefined && { group }) }, origin),
      ),
    ),
    sources: textsPart(marks, agent.sources),
  };
  return marks.at(part, agent.origin, {
    name: agent.nameOrigin,
    kind: kind?.origin,
    atc: atc?.origin,
    diluent: diluent?.origin,
    plain: agent.plain,
    preservativeFree: agent.preservativeFree,
    contraindicated: contraindicated?.origin,
  });
}

function maximumPart(marks: Marks, { limit, ages, origin }: Agent["maxima"][number]) {
  return marks.at(
    {
      limit: fileQuantity<"mg">(limit),
      ...(ages && { ages: rangeInUnit<"a">(ages, requiredUnit("years")) }),
    },
    origin,
  );
}

/** Texts in a fixed order, each with its place. */
export function textsPart(marks: Marks, texts: Agent["sources"]): string[] {
  const sorted = [...texts].sort((a, b) => compareTexts(a.value, b.value));
  return marks.at(
    sorted.map(({ value }) => value),
    undefined,
    Object.fromEntries(sorted.map(({ origin }, index) => [index, origin])),
  );
}
