import { quantityText } from "@limbwright/shared/quantity";
import {
  type Agent,
  agentsOf,
  amountWords,
  type CuffSet,
  type Maximum,
  type Requirement,
  type Timer,
} from "../../model/index.ts";
import { rangeText } from "../../population/index.ts";
import { actionWords, conditionWords } from "../../rules/facts/action-words.ts";
import { limitText } from "../../rules/facts/maximum.ts";
import { momentName } from "../../runs/index.ts";
import { cuffText } from "../sheet/checklist.ts";
import type { Interchange } from "./definitions.ts";
import { inWords, quantityOf, unlessEmpty } from "./elements.ts";
import type { Goal, Quantity } from "./resources.ts";

type Target = NonNullable<Goal["target"]>[number];

/** What the plan keeps to: times, the pressure of the cuffs, the maxima of its drugs, and the hospital's requirements. */
export function goalsOf(interchange: Interchange): Goal[] {
  const { protocol } = interchange;
  return [
    ...protocol.timers.map((timer) => timerGoal(interchange, timer)),
    cuffGoal(interchange, protocol.cuffs),
    ...agentsOf(protocol).flatMap((agent) => maximumGoals(interchange, agent)),
    ...protocol.requirements.map((requirement) => requirementGoal(interchange, requirement)),
  ];
}

/** At least until the release, at most until the last deflation: two measures, so two targets. */
function timerGoal({ notCoded }: Interchange, { name, from, atLeast, atMost }: Timer): Goal {
  const start = from ? momentName(from) : name;
  const least = atLeast && quantityOf(atLeast);
  const most = atMost && quantityOf(atMost);
  if (atLeast && !least) notCoded.inWords(`timer ${name}`, `at least ${quantityText(atLeast)}`);
  if (atMost && !most) notCoded.inWords(`timer ${name}`, `at most ${quantityText(atMost)}`);
  const claims = [
    atLeast && `at least ${quantityText(atLeast)} to the release`,
    atMost && `at most ${quantityText(atMost)} to the last deflation`,
  ].filter((claim) => claim !== undefined);
  return {
    description: inWords(`${name}, from ${start}: ${claims.join(", ")}`),
    ...unlessEmpty("target", [
      ...(least ? [target(`Time from ${start} to the release`, { low: least })] : []),
      ...(most ? [target(`Time from ${start} to the last deflation`, { high: most })] : []),
    ]),
  };
}

function cuffGoal({ notCoded, protocol }: Interchange, cuffs: CuffSet): Goal {
  const { place, pressure, ceiling, fits, occlusion } = cuffs;
  const parts = [
    `Cuffs ${cuffs.cuffs.map(({ name }) => cuffText(name, protocol)).join(" and ")} on the ${place?.value.replace("-", " ")}`,
    fits && `fit ${rangeText(fits.interval, fits.unit)}`,
    pressure && `pressure ${amountWords(pressure.node)}`,
    occlusion && `occlusion pressure ${amountWords(occlusion.node)}`,
    ceiling && `never over ${quantityText(ceiling)}`,
  ].filter((part) => part !== undefined);
  const fixed = pressure?.node.kind === "quantity" ? quantityOf(pressure.node.quantity) : undefined;
  const high = ceiling && quantityOf(ceiling);
  notCoded.inWords("cuffs", "where they sit, their labels and whom they fit");
  if (pressure && !fixed) notCoded.inWords("cuffs", `their pressure, ${amountWords(pressure.node)}`);
  if (occlusion)
    notCoded.inWords("cuffs", `the table of occlusion pressures, ${amountWords(occlusion.node)}`);
  return {
    description: inWords(parts.join("; ")),
    ...unlessEmpty("target", [
      ...(fixed ? [{ measure: inWords("Pressure of a cuff that is up"), detailQuantity: fixed }] : []),
      ...(high ? [target("Pressure of any cuff at any time", { high })] : []),
    ]),
  };
}

function maximumGoals({ notCoded }: Interchange, agent: Agent): Goal[] {
  return agent.maxima.map((maximum: Maximum) => {
    const words = `${agent.name} in one run: at most ${limitText(maximum)}`;
    const high = quantityOf(maximum.limit);
    if (!high) notCoded.inWords(`agent ${agent.name}`, `at most ${limitText(maximum)}`);
    const ages = maximum.ages ? `, for age ${rangeText(maximum.ages, "years")}` : "";
    const measure = `${agent.name} given in one run${ages}`;
    return { description: inWords(words), ...unlessEmpty("target", high ? [target(measure, { high })] : []) };
  });
}

function requirementGoal({ notCoded }: Interchange, { title, property }: Requirement): Goal {
  const words = propertyWords(property);
  notCoded.inWords(`require "${title}"`, words);
  return { description: inWords(`${title}: ${words}`) };
}

function propertyWords(property: Requirement["property"]): string {
  switch (property.kind) {
    case "never":
      return `never ${conditionWords(property.condition)}`;
    case "only-when":
      return `${actionWords(property.action)} only when ${conditionWords(property.condition)}`;
    case "only-after":
      return `${actionWords(property.action)} only after ${actionWords(property.earlier)}`;
    case "within":
      return `${actionWords(property.action)} within ${quantityText(property.limit)} of ${actionWords(property.earlier)}`;
  }
}

function target(measure: string, detailRange: { readonly low?: Quantity; readonly high?: Quantity }): Target {
  return { measure: inWords(measure), detailRange };
}
