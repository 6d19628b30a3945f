import type { Agent } from "../../model/index.ts";
import { writeInstead } from "../../model/text-changes.ts";
import type { Rule } from "../engine/definition.ts";
import { found, HOLDS, type Judgement } from "../engine/judgement.ts";
import { isKnownAnaesthetic, isOtherDrug } from "../facts/drugs.ts";

export const rule: Rule = { judgeAgent: judge };

function judge(agent: Agent): Judgement {
  const { kind, name, nameOrigin } = agent;
  const isCalledOne = kind?.value === "local-anaesthetic";
  if (!kind || isCalledOne === isKnownAnaesthetic(agent)) return HOLDS;
  if (!isCalledOne) {
    return found({
      origin: kind.origin,
      what: `${name} is a local anaesthetic, by its name or its ATC code; the formulary calls it \`${kind.value}\`.`,
      label: "it is a local anaesthetic",
      next: "Write `kind local-anaesthetic`; if it is another drug, correct its name and its ATC code.",
      related: [{ origin: nameOrigin, note: "the agent" }],
      repairs: writeInstead(kind.origin, "kind local-anaesthetic"),
    });
  }
  if (!isOtherDrug(agent)) return HOLDS;
  return found({
    origin: kind.origin,
    what: `${name} is no local anaesthetic, by its name or its ATC code; the formulary calls it one.`,
    label: "it is no local anaesthetic",
    next: "Correct the kind: `adjuvant` for what is mixed in, `rescue` for what treats; or the name and the ATC code.",
    related: [{ origin: nameOrigin, note: "the agent" }],
  });
}
