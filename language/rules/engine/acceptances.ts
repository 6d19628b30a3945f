import {
  type Finding,
  isAtLeast,
  LONGEST_MONTHS,
  type LongestMonths,
  type Severity,
} from "@limbwright/shared/finding";
import { quantityText, requireUnit, sameDimension } from "@limbwright/shared/quantity";
import type { Acceptance, DeclaredRules, LocalRules, Protocol } from "../../model/index.ts";
import { type KnownRule, parametersFor, refusedAt, unknownName } from "./parameters.ts";

/** What of a finding decides whether an acceptance covers it. */
export type Accepting = Pick<Finding, "severity" | "subject" | "limitUnit">;

/**
 * Whether an acceptance is for a finding of a rule, whatever the day. What is unsafe is accepted by one that names it, and for which two
 * roles answer until the protocol is reviewed. Whether one up to a value covers it, only judging with that value tells.
 */
export function isFor(
  acceptance: Acceptance,
  finding: Accepting,
  rule: KnownRule,
  protocol: Protocol,
): boolean {
  return (
    names(acceptance, finding, rule) &&
    (!isAtLeast(finding.severity, "unsafe") || lacksForUnsafe(acceptance, protocol) === undefined)
  );
}

/** Whether an acceptance means a finding by rule, subject and kind of value. */
export function names(acceptance: Acceptance, finding: Accepting, rule: KnownRule): boolean {
  if (acceptance.rule !== rule.id) return false;
  if (acceptance.subject !== undefined && acceptance.subject !== finding.subject) return false;
  return acceptance.upTo
    ? rule.acceptedUpTo !== undefined && isOverLimitLike(acceptance.upTo.unit, finding)
    : isAcceptable(rule, finding.severity);
}

/** Whether what was found is over a limit that is measured like a unit. */
export function isOverLimitLike(
  { dimension }: Pick<ReturnType<typeof requireUnit>, "dimension">,
  { limitUnit }: Pick<Finding, "limitUnit">,
): boolean {
  return limitUnit !== undefined && sameDimension(requireUnit(limitUnit).dimension, dimension);
}

/** "`x` up to 3.5 mg/kg": an acceptance in few words. */
export function upToText({ upTo }: Acceptance): string | undefined {
  return upTo && quantityText(upTo);
}

const RULE_OF_LENGTH = "acceptance-goes-too-far";

/** How long the hospital lets acceptances last: as long as anybody may, or shorter. */
export function longestOf({ localRules }: Protocol, rules: readonly KnownRule[]): LongestMonths {
  const rule = rules.find(({ id }) => id === RULE_OF_LENGTH);
  if (!rule) return LONGEST_MONTHS;
  const parameter = parametersFor(rule, localRules);
  const months = (name: string) => Math.floor(parameter(name).value.mul(12).valueOf());
  return { unsafe: months("longest-unsafe"), milder: months("longest-otherwise") };
}

/** What an acceptance lacks to cover something unsafe; undefined where it lacks nothing. */
export function lacksForUnsafe(
  { subject, protocol, upTo, alsoBy, until }: Acceptance,
  { reviewBy }: Protocol,
): "subject" | "protocol" | "second role" | "end before the review" | undefined {
  if (subject === undefined || subject.trim() === "") return "subject";
  // Another protocol may call another dose by the same name.
  if (upTo && protocol === undefined) return "protocol";
  if (alsoBy === undefined) return "second role";
  return reviewBy && until > reviewBy.value ? "end before the review" : undefined;
}

/** Whether a hospital may accept what a rule finds: no error, and not where the rule says no. */
export function isAcceptable(
  { acceptable, severity: stated }: Pick<KnownRule, "acceptable" | "severity">,
  severity: Severity = acceptable === "doubtful" ? "doubtful" : stated,
): boolean {
  if (acceptable === false || severity === "error") return false;
  return acceptable === undefined || !isAtLeast(severity, "unsafe");
}

/** The acceptances of a protocol's local rules that are for it: by its name, or for every protocol. */
export function acceptancesFor(protocol: Protocol): readonly Acceptance[] {
  const all = protocol.localRules?.acceptances ?? [];
  return all.filter((one) => one.protocol === undefined || one.protocol === protocol.name);
}

/** What is wrong with the acceptances themselves: rules that do not exist, or that nobody may accept. */
export function acceptanceProblems(localRules: LocalRules, rules: readonly KnownRule[]): Finding[] {
  return localRules.acceptances.flatMap((acceptance) => {
    const rule = rules.find((one) => one.id === acceptance.rule);
    if (!rule) {
      const ids = rules.map(({ id }) => id);
      const what = `There is no rule called \`${acceptance.rule}\`.`;
      const words = { what, otherwise: "`limb rules` lists every rule." };
      return [refusedAt(acceptance.ruleOrigin, unknownName(acceptance.rule, ids, words))];
    }
    return acceptance.upTo
      ? valueProblems(acceptance, acceptance.upTo, rule)
      : isAcceptable(rule)
        ? []
        : [notAcceptable(acceptance, rule)];
  });
}

function notAcceptable({ ruleOrigin, subject = "…" }: Acceptance, { id, acceptedUpTo }: KnownRule): Finding {
  const units = acceptedUpTo?.join(" or ");
  return refusedAt(ruleOrigin, {
    rule: "parameter-not-allowed",
    what: units
      ? `A finding of \`${id}\` cannot be accepted without a value: it is accepted up to one only.`
      : `A finding of \`${id}\` cannot be accepted.`,
    label: units ? "up to what?" : "cannot be accepted",
    next: units
      ? `Write \`accept ${id} of ${subject} in … up to …\`, a value in ${units}; or mend what the rule finds.`
      : "Remove the acceptance and mend what the rule finds.",
  });
}

/** A value for a rule that has none, or of another kind. */
function valueProblems(
  acceptance: Acceptance,
  { unit, origin }: NonNullable<Acceptance["upTo"]>,
  rule: KnownRule,
): Finding[] {
  const { id, acceptedUpTo } = rule;
  if (!acceptedUpTo) {
    if (!isAcceptable(rule)) return [notAcceptable(acceptance, rule)];
    return [
      refusedAt(origin, {
        rule: "parameter-not-allowed",
        what: `What \`${id}\` finds has no value up to which it could be accepted.`,
        label: "no value here",
        next: "Leave out `up to` and its value.",
      }),
    ];
  }
  if (acceptedUpTo.some((symbol) => sameDimension(requireUnit(symbol).dimension, unit.dimension))) return [];
  return [
    refusedAt(origin, {
      rule: "unit-mismatch",
      what: `\`${id}\` is accepted up to a value in ${acceptedUpTo.join(" or ")}.`,
      label: "another kind of value",
      next: "Write the value like the limit that the rule finds broken.",
    }),
  ];
}

/**
 * Acceptances for a protocol that does not exist, so that they accept nothing. Only who knows every protocol
 * of the workspace can tell.
 */
export function acceptancesOfNothing(localRules: DeclaredRules, protocols: ReadonlySet<string>): Finding[] {
  return localRules.acceptances.flatMap(({ protocol, protocolOrigin, origin }) => {
    if (protocol === undefined || protocols.has(protocol)) return [];
    const words = {
      what: `No protocol of the workspace is called \`${protocol}\`, so nothing is accepted here.`,
      label: "no such protocol",
      otherwise: "Check the spelling, or remove the acceptance.",
    };
    return [refusedAt(protocolOrigin ?? origin, unknownName(protocol, protocols, words))];
  });
}
