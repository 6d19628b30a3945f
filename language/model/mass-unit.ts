import { type MassUnit, massUnitIn } from "@limbwright/shared/quantity";
import type { Agent } from "./agent.ts";
import { type AmountNode, partsOfAmount } from "./amount.ts";
import type { Adjuvant, Dose } from "./dose.ts";

/**
 * The unit of mass that a dose is written in: 75 mcg are told as 75 mcg, never as 0.08 mg. That of its strength where it is written as a
 * volume.
 */
export function massUnitOf({
  amount,
  rate,
  concentration,
}: Pick<Dose, "amount" | "rate" | "concentration">): MassUnit {
  const node = (amount ?? rate)?.node;
  return (node && massUnitOfNode(node)) ?? (concentration && massUnitIn(concentration.unit.symbol)) ?? "mg";
}

/** The same of what is mixed into a dose. */
export function massUnitMixedIn({ amount, agent }: Adjuvant): MassUnit {
  const [concentration] = agent?.concentrations ?? [];
  return massUnitOf({ ...(amount && { amount }), ...(concentration && { concentration }) });
}

/** That in which the maxima of a drug are written, for what several doses give of it. */
export function massUnitOfAgent({ maxima }: Pick<Agent, "maxima">): MassUnit {
  return maxima.map(({ limit }) => massUnitIn(limit.unit.symbol)).find((unit) => unit !== undefined) ?? "mg";
}

function massUnitOfNode(node: AmountNode): MassUnit | undefined {
  if (node.kind === "quantity") return massUnitIn(node.quantity.unit.symbol);
  for (const part of partsOfAmount(node)) {
    const unit = massUnitOfNode(part);
    if (unit) return unit;
  }
  return undefined;
}
