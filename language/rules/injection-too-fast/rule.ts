import type { Origin, Repair } from "@limbwright/shared/finding";
import { durationText } from "@limbwright/shared/quantity";
import { allSteps, type Dose, type Duration } from "../../model/index.ts";
import { lineInside, needsALook, writtenInstead } from "../../model/text-changes.ts";
import { judgeInjectedAnaesthetics } from "../injected.ts";
import { found, HOLDS, type Judgement, type Rule, type RuleContext, together, undecided } from "../rule.ts";

export const rule: Rule = {
  id: "injection-too-fast",
  title: "The local anaesthetic is injected slowly",
  group: "dose",
  severity: "doubtful",
  why: "A fast injection raises the pressure in the veins, and drug can pass under the cuff.",
  sources: [
    {
      title: "At least 90 s",
      seen: "common practice, no source",
      says: "the standard of this rule; at least 60 s is its bound",
    },
    {
      title: "Emergency-medicine reference, Bier block",
      address:
        "https://www.barnardhealth.us/emergency-medicine/table-3213-contraindications-to-bier-block.html",
      seen: "passage read",
      says: "0.6 mL/kg of 0.5 % injected over 2 min: slower than the standard of this rule",
    },
  ],
  parameters: [
    {
      name: "minimum",
      title: "Shortest time of the injection (common practice, no source)",
      unit: "s",
      standard: "90",
      tighter: "higher",
      bound: "60",
    },
  ],
  judge: (context) => judgeInjectedAnaesthetics(context.protocol, (dose) => judgeDose(dose, context)),
};

/** Each injection of the dose: a step that says how long it takes goes before the dose's `over`. */
function judgeDose(dose: Dose, context: RuleContext): Judgement {
  const injections = [...allSteps(context.protocol)].filter(
    (step) => step.kind === "inject" && step.dose === dose.name,
  );
  const stated = injections.map((step) => step.takes ?? dose.over);
  const times = [...new Set(stated)];
  return together(times.map((time) => judgeTime(dose, time, context)));
}

function judgeTime(dose: Dose, time: Duration | undefined, context: RuleContext): Judgement {
  const minimum = context.parameter("minimum").value;
  const slowEnough = durationText(minimum);
  if (!time) {
    return context.protocol.incomplete
      ? undecided(`the time for \`${dose.name}\` may stand in text that was not understood`, dose.origin)
      : tooFast(dose.nameOrigin, `\`${dose.name}\` may be injected as fast as one can push`, slowEnough, [
          ...(dose.amount ? withTime(dose.origin, dose.amount.origin, slowEnough) : []),
        ]);
  }
  if (time.shortest.compare(minimum) >= 0) return HOLDS;
  const fastest = durationText(time.shortest);
  const slower = writtenInstead(time.origin, `${slowEnough} to 3 min`);
  return tooFast(time.origin, `\`${dose.name}\` may be injected in ${fastest}`, slowEnough, slower);
}

function tooFast(origin: Origin, what: string, slowEnough: string, repairs: Repair[]): Judgement {
  return found({
    origin,
    what: `${what}; ${slowEnough} is the least.`,
    label: `under ${slowEnough}`,
    next: `Write \`over ${slowEnough} to 3 min\` in the dose, or another time of at least ${slowEnough}.`,
    repairs,
  });
}

function withTime(dose: Origin, amount: Origin, slowEnough: string): Repair[] {
  const words = `over ${slowEnough} to 3 min`;
  return needsALook(`Write ${words}`, lineInside(dose, amount, words));
}
