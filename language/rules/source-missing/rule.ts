import type { Agent } from "../../model/index.ts";
import { found, HOLDS, type Judgement, type Rule } from "../engine/definition.ts";

export const rule: Rule = {
  id: "source-missing",
  title: "Every drug names the source of its values",
  group: "governance",
  severity: "doubtful",
  why: "Every dose is held against the drug's maxima; a reader has to be able to look up where these come from.",
  sources: [
    {
      source: "common-practice",
      says: "a source beside every value of a formulary: published maxima disagree, so a number alone does not tell which was chosen",
    },
  ],
  judgeAgent,
};

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
