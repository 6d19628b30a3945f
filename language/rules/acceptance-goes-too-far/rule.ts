import {
  isAtLeast,
  isInForce,
  LONGEST_YEARS,
  lastDayAllowed,
  type Severity,
} from "@limbwright/shared/finding";
import type { Acceptance, Protocol } from "../../model/index.ts";
import { acceptancesFor, isAcceptable, lacksForUnsafe } from "../engine/acceptances.ts";
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
      return stated && isAcceptable(stated) ? judgeOne(acceptance, stated, { earlier, on, protocol }) : [];
    }),
  );
}

interface Asked {
  readonly earlier: readonly Earlier[];
  readonly on: string;
  readonly protocol: Protocol;
}

function judgeOne(acceptance: Acceptance, stated: StatedRule, { earlier, on, protocol }: Asked): Detected[] {
  const severities = earlier.filter((one) => one.rule === stated.id).map(({ severity }) => severity);
  const isUnsafe = [stated.severity, ...severities].some(isAnUnsafeOne);
  if (!isAcceptable(stated, "unsafe")) {
    const beyond = severities.some(isAnUnsafeOne) ? [tellUnsafe(acceptance)] : [];
    return [...beyond, ...tellTooLong(acceptance, "doubtful", on)];
  }
  if (!isUnsafe) return tellTooLong(acceptance, "doubtful", on);
  return [...tellTooWide(acceptance, protocol), ...tellTooLong(acceptance, "unsafe", on)];
}

/** Words that would cover the next unsafe finding as well, or for which too few answer. */
function tellTooWide(acceptance: Acceptance, protocol: Protocol): Detected[] {
  const { rule: id, ruleOrigin } = acceptance;
  const lacking = lacksForUnsafe(acceptance, protocol);
  if (!lacking) return [];
  const words = {
    subject: {
      what: `\`${id}\` finds what is unsafe, and the acceptance does not say of what it is accepted; so it covers nothing unsafe.`,
      label: "does not say of what",
      next: `Write \`accept ${id} of …\`: the title of the requirement in quotes, or the drug.`,
    },
    "second role": {
      what: `\`${id}\` finds what is unsafe, and one role alone accepts it; so it covers nothing unsafe.`,
      label: "one role alone",
      next: 'Add the second role that answers for it, `by "…"`.',
    },
    "end before the review": {
      what: `\`${id}\` is accepted until ${acceptance.until}, after the review of \`${protocol.name}\`, which is due by ${protocol.reviewBy?.value}; so it covers nothing unsafe.`,
      label: "after the review",
      next: `Write a day up to ${protocol.reviewBy?.value}.`,
    },
  };
  return [{ origin: ruleOrigin, ...words[lacking] }];
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
