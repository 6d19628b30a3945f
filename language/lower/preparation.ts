import { MASS, VOLUME } from "@limbwright/shared/quantity";
import type * as ast from "../grammar/generated/ast.ts";
import {
  type Agent,
  type AmountAtHand,
  MONITORS,
  type Preparation,
  type PrepareItem,
} from "../model/index.ts";
import { agentOf } from "./agents.ts";
import type { Lowering } from "./context.ts";
import { countOf, quantityOf, timeOf } from "./quantities.ts";

export function preparationOf(lowering: Lowering, node: ast.Prepare, agents: readonly Agent[]): Preparation {
  const { value: items, gaps } = lowering.withGaps(() =>
    node.items.map((item) => (item.$type === "Unknown" ? undefined : itemOf(lowering, item, agents))),
  );
  return {
    origin: lowering.originOfHeading(node),
    items: items.filter((item) => item !== undefined),
    incomplete: gaps || items.includes(undefined),
  };
}

function itemOf(
  lowering: Lowering,
  node: ast.PrepareItem,
  agents: readonly Agent[],
): PrepareItem | undefined {
  const origin = lowering.originOf(node);
  switch (node.$type) {
    case "IvAccess": {
      const place = lowering.checkWord(
        lowering.originOfProperty(node, "place"),
        node.place,
        ["other-limb", "same-limb"] as const,
        "a place for a cannula",
      );
      return place && { kind: "iv-access", place, origin };
    }
    case "Monitoring":
      return monitoringOf(lowering, node);
    case "AtHand":
      return atHandOf(lowering, node, agents);
    case "Staff": {
      const count = countOf(lowering, node.count, 1, "`staff`");
      return count === undefined ? undefined : { kind: "staff", count, origin };
    }
    case "SiteMarked":
      return { kind: "site-marked", origin };
    case "OtherItem":
      return { kind: "text", text: node.text ?? "", origin };
  }
}

function monitoringOf(lowering: Lowering, node: ast.Monitoring): PrepareItem {
  const monitors = node.items.flatMap((item, index) => {
    const origin = lowering.originOfProperty(node, "items", index);
    const known = lowering.checkWord(
      origin,
      item,
      MONITORS,
      "a monitor",
      "Write ecg, spo2 or nibp; other monitoring as a text in quotes on a line of its own.",
    );
    return known ? [known] : [];
  });
  const every = timeOf(lowering, node.interval, "`every`");
  return { kind: "monitoring", monitors, ...(every && { every }), origin: lowering.originOf(node) };
}

function atHandOf(lowering: Lowering, node: ast.AtHand, agents: readonly Agent[]): PrepareItem {
  const found: Agent[] = [];
  const amounts: AmountAtHand[] = [];
  for (const item of node.items) {
    const agentNode = lowering.resolve(item, "agent", "agent", () => agents.map(({ name }) => name));
    const agent = agentNode && agentOf(lowering, agentNode);
    if (agent) found.push(agent);
    const amount = quantityOf(lowering, item.amount, [MASS, VOLUME], "`at-hand`");
    if (agent && amount) amounts.push({ agent, amount });
  }
  const texts = node.items.flatMap((item) => (item.text === undefined ? [] : [item.text]));
  const origin = lowering.originOf(node);
  return { kind: "at-hand", agents: found, ...(amounts.length > 0 && { amounts }), texts, origin };
}
