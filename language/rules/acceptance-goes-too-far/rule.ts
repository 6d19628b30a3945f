import { isAtLeast, type Severity } from "@limbwright/shared/finding";
import type { Acceptance } from "../../model/index.ts";
import {
  acceptancesFor,
  isAcceptable,
  isInForce,
  LONGEST_YEARS,
  lastDayAllowed,
} from "../engine/acceptances.ts";
import type { Earlier, Rule, RuleContext, StatedRule } from "../engine/definition.ts";
import { type Detected, found, type Judgement } from "../engine/judgement.ts";
import { STATED } from "../generated/stated.ts";

export const rule: Rule<"findings"> = { needs: ["findings"], judge };

const STATED_RULES: Readonly<Record<string, StatedRule>> = STATED;

/** Of acceptances that have not ended: what has ended, and what nobody may accept at all, is told elsewhere. */
function judge({ protocol, on, earlier }: RuleContext<"findings">): Judgement {
  const standing = acceptancesFor(protocol).filter((one) => isInForce(one, on));
  return found(
    ...standing.flatMap((acceptance) => {
      const stated = STATED_RULES[acceptance.rule];
      return stated && isAcceptable(stated) ? judgeOne(acceptance, stated, { earlier, on }) : [];
    }),
  );
}

interface Asked {
  readonly earlier: readonly Earlier[];
  readonly on: string;
}

function judgeOne(acceptance: Acceptance, stated: StatedRule, { earlier, on }: Asked): Detected[] {
  const severities = earlier.filter((one) => one.rule === stated.id).map(({ severity }) => severity);
  const isUnsafe = [stated.severity, ...severities].some(isAnUnsafeOne);
  if (!isAcceptable(stated, "unsafe")) {
    const beyond = severities.some(isAnUnsafeOne) ? [tellUnsafe(acceptance)] : [];
    return [...beyond, ...tellTooLong(acceptance, "doubtful", on)];
  }
  return tellTooLong(acceptance, isUnsafe ? "unsafe" : "doubtful", on);
}

function isAnUnsafeOne(severity: Severity): boolean {
  return isAtLeast(severity, "unsafe");
}

function tellTooLong(
  { rule: id, ruleOrigin, until }: Acceptance,
  severity: Severity,
  on: string,
): Detected[] {
  const last = lastDayAllowed(severity, on);
  if (until <= last) return [];
  const isUnsafe = severity === "unsafe";
  const longest = isUnsafe ? "a year" : `${LONGEST_YEARS.milder} years`;
  const whatFor = isUnsafe ? "What is unsafe" : "What is found";
  return [
    {
      origin: ruleOrigin,
      what: `\`${id}\` is accepted until ${until}. ${whatFor} can be accepted for ${longest} at most, so this covers nothing.`,
      label: `more than ${longest}`,
      next: `Write a day up to ${last}, by when somebody looks at it again; or mend what \`${id}\` finds.`,
    },
  ];
}

function tellUnsafe({ rule: id, ruleOrigin }: Acceptance): Detected {
  return {
    origin: ruleOrigin,
    what: `\`${id}\` finds something unsafe here. Only what it finds doubtful can be accepted, so that still counts.`,
    label: "does not cover what is unsafe",
    next: `Mend what \`${id}\` finds unsafe.`,
  };
}
