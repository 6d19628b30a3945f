import type { Origin, Repair } from "@limbwright/shared/finding";
import { durationText, type Rational } from "@limbwright/shared/quantity";
import { allSteps, type Dose, type Duration } from "../../model/index.ts";
import { lineInside, needsALook, writeInstead } from "../../model/text-changes.ts";
import type { Rule, RuleContext } from "../engine/definition.ts";
import { combine, type Detected, found, HOLDS, type Judgement, undecided } from "../engine/judgement.ts";
import { judgeInjectedAnaesthetics } from "../facts/injected-drugs.ts";

export const rule: Rule = {
  judge: (context) => judgeInjectedAnaesthetics(context.protocol, (dose) => judgeDose(dose, context)),
};

/** Each injection of the dose: a step that says how long it takes goes before the dose's `over`. */
function judgeDose(dose: Dose, context: RuleContext): Judgement {
  const injections = [...allSteps(context.protocol)].filter(
    (step) => step.kind === "inject" && step.dose === dose.name,
  );
  const stated = injections.map((step) => step.takes ?? dose.over);
  const times = [...new Set(stated)];
  return combine(times.map((time) => judgeTime(dose, time, context)));
}

function judgeTime(dose: Dose, time: Duration | undefined, context: RuleContext): Judgement {
  const minimum = context.parameter("minimum").value;
  if (!time) {
    return context.protocol.incomplete
      ? undecided(`the time for \`${dose.name}\` may stand in text that was not understood`, dose.origin)
      : tooFast(minimum, {
          origin: dose.nameOrigin,
          what: `\`${dose.name}\` may be injected as fast as one can push`,
          repairs: dose.amount ? withTime(dose.origin, dose.amount.origin, minimum) : [],
        });
  }
  if (time.shortest.compare(minimum) >= 0) return HOLDS;
  return tooFast(minimum, {
    origin: time.origin,
    what: `\`${dose.name}\` may be injected in ${durationText(time.shortest)}`,
    repairs: writeInstead(time.origin, slowTime(minimum)),
  });
}

function tooFast(
  minimum: Rational,
  { origin, what, repairs }: Pick<Detected, "origin" | "what" | "repairs">,
): Judgement {
  const slowEnough = durationText(minimum);
  return found({
    origin,
    what: `${what}; ${slowEnough} is the least.`,
    label: `under ${slowEnough}`,
    next: `Write \`over ${slowTime(minimum)}\` in the dose, or another time of at least ${slowEnough}.`,
    ...(repairs && { repairs }),
  });
}

/** A range that a team can keep; where the hospital asks for more than that, what it asks for. */
function slowTime(minimum: Rational): string {
  const slowEnough = durationText(minimum);
  return minimum.compare(180) < 0 ? `${slowEnough} to 3 min` : slowEnough;
}

function withTime(dose: Origin, amount: Origin, minimum: Rational): Repair[] {
  const words = `over ${slowTime(minimum)}`;
  return needsALook(`Write ${words}`, lineInside(dose, amount, words));
}
