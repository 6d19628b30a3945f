import {
  isAtLeast,
  isInForce,
  type LongestMonths,
  lastDayAllowed,
  type Severity,
} from "@limbwright/shared/finding";
import type { Acceptance, Protocol } from "../../model/index.ts";
import { acceptancesFor, isAcceptable, lacksForUnsafe, longestOf } from "../engine/acceptances.ts";
import type { Rule, RuleContext, StatedRule } from "../engine/definition.ts";
import { type Detected, found, type Judgement } from "../engine/judgement.ts";
import { STATED } from "../generated/stated.ts";

export const rule: Rule<"findings"> = { needs: ["findings"], judge };

const STATED_RULES: Readonly<Record<string, StatedRule>> = STATED;

/** Of acceptances that have not ended: what has ended, and what nobody may accept at all, is told elsewhere. */
function judge(context: RuleContext<"findings">): Judgement {
  const { protocol, rule, on } = context;
  const standing = acceptancesFor(protocol).filter((one) => isInForce(one, on));
  const asked = { ...context, longest: longestOf(protocol, [rule]) };
  return found(
    ...standing.flatMap((acceptance) => {
      const stated = STATED_RULES[acceptance.rule];
      if (!stated) return [];
      if (acceptance.upTo) return stated.acceptedUpTo ? judgeUpTo(acceptance, asked) : [];
      return isAcceptable(stated) ? judgeOne(acceptance, stated, asked) : [];
    }),
  );
}

interface Asked extends Pick<RuleContext<"findings">, "earlier" | "on" | "protocol" | "refusalUpTo"> {
  readonly longest: LongestMonths;
}

/** What is accepted up to a value is unsafe, always. */
function judgeUpTo(acceptance: Acceptance, asked: Asked): Detected[] {
  const tooWide = tellTooWide(acceptance, asked.protocol);
  const refused = asked.refusalUpTo(acceptance);
  return [
    ...tooWide,
    ...(refused && tooWide.length === 0
      ? [{ ...refused, origin: acceptance.upTo?.origin ?? acceptance.origin }]
      : []),
    ...tellTooLong(acceptance, "unsafe", asked),
  ];
}

function judgeOne(acceptance: Acceptance, stated: StatedRule, asked: Asked): Detected[] {
  const { earlier, protocol } = asked;
  const severities = earlier.filter((one) => one.rule === stated.id).map(({ severity }) => severity);
  const isUnsafe = [stated.severity, ...severities].some(isAnUnsafeOne);
  if (!isAcceptable(stated, "unsafe")) {
    const beyond = severities.some(isAnUnsafeOne) ? [tellUnsafe(acceptance)] : [];
    return [...beyond, ...tellTooLong(acceptance, "doubtful", asked)];
  }
  if (!isUnsafe) return tellTooLong(acceptance, "doubtful", asked);
  return [...tellTooWide(acceptance, protocol), ...tellTooLong(acceptance, "unsafe", asked)];
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
      next: `Write \`accept ${id} of …\`: the title of the requirement in quotes, the drug, the dose, or the place of the cuffs.`,
    },
    protocol: {
      what: `\`${id}\` is accepted up to a value, and the acceptance does not say in which protocol; another may call another thing by the same name, so it covers nothing.`,
      label: "does not say in which protocol",
      next: `Write \`in ${protocol.name}\` behind what it is of.`,
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
  { on, longest: months }: Asked,
): Detected[] {
  const last = lastDayAllowed(severity, on, months);
  if (until <= last) return [];
  const isUnsafe = severity === "unsafe";
  const longest = longText(isUnsafe ? months.unsafe : months.milder);
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

/** "a year", "3 years", "18 months". */
function longText(months: number): string {
  if (months % 12 === 0) return months === 12 ? "a year" : `${months / 12} years`;
  return months === 1 ? "a month" : `${months} months`;
}

function tellUnsafe({ rule: id, ruleOrigin }: Acceptance): Detected {
  return {
    origin: ruleOrigin,
    what: `\`${id}\` finds something unsafe here. Only what it finds doubtful can be accepted, so that still counts.`,
    label: "does not cover what is unsafe",
    next: `Mend what \`${id}\` finds unsafe.`,
  };
}
