import { allSteps } from "../../model/index.ts";
import type { Rule } from "../engine/definition.ts";
import { found, HOLDS, undecided } from "../engine/judgement.ts";

export const rule: Rule = {
  judge: ({ protocol }) => {
    const steps = [...allSteps(protocol)];
    const inserted = steps.find(({ kind }) => kind === "insert-cannula");
    if (!inserted || steps.some(({ kind }) => kind === "remove-cannula")) return HOLDS;
    if (protocol.incomplete) return undecided("part of the steps was not understood");
    return found({
      origin: inserted.origin,
      what: "The cannula in the blocked limb is never taken out.",
      label: "never removed",
      next: "Write `remove cannula press 1 min to 2 min` after the last injection: nobody can then inject into the limb again.",
    });
  },
};
