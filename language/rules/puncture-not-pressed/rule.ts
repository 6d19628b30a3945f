import { allSteps, writtenTexts } from "../../model/index.ts";
import type { Rule } from "../engine/definition.ts";
import { found, HOLDS } from "../engine/judgement.ts";

export const rule: Rule = {
  judge: ({ protocol }) => {
    if (writtenTexts(protocol).some(({ text }) => PRESSING.test(text))) return HOLDS;
    const removals = [...allSteps(protocol)].filter((step) => step.kind === "remove-cannula");
    const first = removals[0];
    if (!first || removals.some(({ press }) => press)) return HOLDS;
    return found({
      origin: first.origin,
      what: "Nobody presses on the puncture when the cannula comes out.",
      label: "not pressed on",
      next: 'Write `remove cannula press 1 min to 2 min`, or say it in the step\'s text: `remove cannula "Press on the puncture"`.',
    });
  },
};

/** "Press on it", "pressing", "pressed": not a pressure. */
const PRESSING = /\bpress(?:es|ed|ing)?\b/i;
