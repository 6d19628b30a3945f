import { inBase, quantityText, type Rational, roundedText } from "@limbwright/shared/quantity";
import type { Agent, WrittenQuantity } from "../../model/index.ts";
import { removeStatement } from "../../model/text-changes.ts";
import type { Rule } from "../engine/definition.ts";
import { type Detected, found, HOLDS, type Judgement, undecided } from "../engine/judgement.ts";

export const rule: Rule = { judgeAgent };

function judgeAgent(agent: Agent): Judgement {
  const { supply, diluent, concentrations } = agent;
  if (!supply) return diluent ? found(tellNoSupply(agent)) : HOLDS;
  if (concentrations.length === 0) {
    return undecided(
      `${agent.name} has no concentration that its supply could be held against`,
      supply.origin,
    );
  }
  const supplied = inBase(supply.concentration);
  const above = concentrations.filter((one) => inBase(one).compare(supplied) > 0);
  const below = concentrations.filter((one) => inBase(one).compare(supplied) < 0);
  const impossible = above.map((one) => strongerThanSupplied(one, supply));
  const [first] = below;
  if (first && !diluent) return found(...impossible, withoutDiluent(agent, first, supply, supplied));
  if (diluent && !first && above.length === 0) return found(needlessDiluent(agent, diluent, supply));
  return found(...impossible);
}

type Supply = NonNullable<Agent["supply"]>;

function strongerThanSupplied(concentration: WrittenQuantity, supply: Supply): Detected {
  return {
    origin: concentration.origin,
    what: `${quantityText(concentration)} in the syringe cannot be made from ${quantityText(supply.concentration)}: dilution only makes it weaker.`,
    label: "stronger than what is supplied",
    next: "Correct the concentration, or what is supplied.",
    related: [{ origin: supply.origin, note: "supplied" }],
  };
}

function withoutDiluent(agent: Agent, wanted: WrittenQuantity, supply: Supply, supplied: Rational): Detected {
  return {
    origin: supply.origin,
    what: `${agent.name} is supplied as ${quantityText(supply.concentration)} and given as ${quantityText(wanted)}, but nothing says what it is diluted with.`,
    label: "diluted with what?",
    next: `Add \`diluted with "…"\`. ${recipeText(wanted, supply, supplied)}`,
    related: [{ origin: wanted.origin, note: "in the syringe" }],
  };
}

/** "20 mL of 1 % and 20 mL of diluent make 40 mL of 0.5 %." */
function recipeText(wanted: WrittenQuantity, { concentration, volume }: Supply, supplied: Rational): string {
  if (inBase(wanted).compare(0) <= 0) return "A concentration of zero cannot be made.";
  const whole = volume.value.mul(supplied).div(inBase(wanted));
  const text = (value: Rational) => roundedText({ value, unit: volume.unit });
  return `${text(volume.value)} of ${quantityText(concentration)} and ${text(whole.sub(volume.value))} of diluent make ${text(whole)} of ${quantityText(wanted)}.`;
}

function needlessDiluent(agent: Agent, diluent: NonNullable<Agent["diluent"]>, supply: Supply): Detected {
  return {
    origin: diluent.origin,
    severity: "doubtful",
    what: `${agent.name} is diluted, but it is supplied as ${quantityText(supply.concentration)}, just as it is given.`,
    label: "nothing to dilute",
    why: "A team that dilutes what is already right gives too weak a block.",
    next: "Remove the line, or correct the concentration in the syringe.",
    repairs: removeStatement(diluent.origin, "the diluent"),
    related: [{ origin: supply.origin, note: "supplied" }],
  };
}

function tellNoSupply(agent: Agent): Detected {
  return {
    origin: agent.diluent?.origin ?? agent.nameOrigin,
    severity: "doubtful",
    what: `${agent.name} is diluted, but nothing says what it is supplied as.`,
    label: "diluted from what?",
    why: "Without the strength on the ampoule nobody can check the strength in the syringe.",
    next: "Add `supplied as`, such as `supplied as 1 % in 20 mL`.",
  };
}
