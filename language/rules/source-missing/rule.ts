import type { Agent } from "../../model/index.ts";
import type { Rule } from "../engine/definition.ts";
import { found, HOLDS, type Judgement } from "../engine/judgement.ts";

export const rule: Rule = { judgeAgent };

function judgeAgent(agent: Agent): Judgement {
  if (agent.sources.some(({ value }) => value.trim() !== "")) return HOLDS;
  const [empty] = agent.sources;
  return found({
    origin: empty?.origin ?? agent.nameOrigin,
    what: `${agent.name} does not say where its values come from.`,
    label: "no source",
    next: 'Add `source "…"`: the label, guideline or formulary with its date.',
  });
}
