import { durationText, type Rational, rational } from "@limbwright/shared/quantity";
import type { Protocol, Step } from "../../model/index.ts";
import type { Detected } from "../engine/judgement.ts";
import type { ToxicityAnswer } from "../facts/emergencies-reached.ts";
import { latestEnds } from "../facts/latest-ends.ts";
import { firstLipidOf } from "../facts/treatment-ways.ts";
import { placesOf, waysOfAnswer } from "../facts/ways.ts";

type Decision = Extract<Step, { readonly kind: "task" }>;

/** What is not said of the decisions on the cuff: who decides, and by when. */
export function cuffDecisions(
  { handler, steps }: ToxicityAnswer,
  protocol: Protocol,
  within: Rational,
): Detected[] {
  const decisions = steps.filter(
    (step): step is Decision => step.kind === "task" && step.topic === "cuff-decision",
  );
  const treats = firstLipidOf(protocol, handler);
  const ways = placesOf(waysOfAnswer(protocol, handler));
  const ends = latestEnds(treats ? ways.filter(treats) : [], protocol);
  const late = (step: Decision) => (ends.get(step) ?? 0) > within.valueOf();
  // Whoever has decided in time may decide again.
  const isInTime = decisions.some((step) => step.takes?.longest !== undefined && !late(step));
  return decisions.flatMap((step) => {
    const lacking = [
      ...(saysWho(step) ? [] : [{ what: "who decides", line: '`by "anaesthetist in charge"`' }]),
      ...(step.takes?.longest === undefined ? [{ what: "by when", line: "`takes 10 s to 5 min`" }] : []),
    ];
    if (lacking.length > 0) return [unsaid(step, lacking)];
    return !isInTime && late(step) ? [tooLate(step, ends.get(step) ?? 0, within)] : [];
  });
}

function unsaid(
  { origin }: Decision,
  lacking: readonly { readonly what: string; readonly line: string }[],
): Detected {
  return {
    origin,
    severity: "doubtful",
    what: `The decision on the cuff does not say ${lacking.map(({ what }) => what).join(", and ")}.`,
    label: lacking.map(({ what }) => what).join(", and "),
    next: `Add ${lacking.map(({ line }) => line).join(" and ")}.`,
  };
}

function tooLate({ origin }: Decision, seconds: number, within: Rational): Detected {
  const time = Number.isFinite(seconds) ? durationText(rational(seconds)) : "any time";
  return {
    origin,
    severity: "doubtful",
    what: `The cuff is decided on only up to ${time} after the first lipid; ${durationText(within)} is the most.`,
    label: "decided late",
    next: "Let the decision come behind the lipid, before what takes long, and write a shorter time.",
  };
}

/** Whether a role is written, or the words name one: words are for people, so any will do. */
function saysWho({ roles, text, notes }: Decision): boolean {
  return roles.length > 0 || [text, ...notes].some((words) => ROLE.test(words));
}

const ROLE =
  /an(a)?esthe|consultant|doctor|physician|surgeon|operator|lead|charge|nurse|practitioner|registrar|resident|senior|team|intensivist/i;
