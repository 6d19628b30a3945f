import type { Repair } from "@limbwright/shared/finding";
import { insertBefore } from "../../model/text-changes.ts";
import { type BrokenCheck, LINE_CHECKED, not, PAUSED } from "../../runs/index.ts";
import type { Rule, RuleContext } from "../engine/definition.ts";
import type { Detected } from "../engine/judgement.ts";
import { atStartOf, judgeOverRuns } from "../engine/over-runs.ts";
import { stepAt } from "../facts/shown-run.ts";

const PAUSE = "the pause";

export const rule: Rule<"runs"> = {
  needs: ["runs"],
  watch: atStartOf("inject", () => [
    { when: not(PAUSED), about: PAUSE },
    { when: not(LINE_CHECKED), about: "the line" },
  ]),
  judge: (context) => judgeOverRuns(context, (broken) => words(broken, context)),
};

function words({ origin, about }: BrokenCheck, { protocol }: RuleContext): Omit<Detected, "run"> {
  const isPause = about === PAUSE;
  const line = isPause
    ? 'task pause "Patient, limb, drug and dose read aloud"'
    : 'task cannula-check "In the blocked limb; nothing else is connected"';
  const step = stepAt(protocol, origin);
  const repairs: Repair[] = step ? insertBefore(step.origin, line) : [];
  return {
    origin,
    what: isPause
      ? "The injection can begin although nobody has stopped to read patient, limb, drug and dose aloud."
      : "The injection can begin although nobody has looked where the cannula lies and what is connected to it since it went in.",
    label: isPause ? "no pause before the block" : "the line is not checked",
    next: `Write \`${line}\` before this step${isPause ? ", best before the first cuff goes up" : ", after the cannula is in"}.`,
    repairs,
  };
}
