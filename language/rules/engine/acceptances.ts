import {
  type AcceptedBy,
  type Finding,
  isAtLeast,
  isInForce,
  lastDayAllowed,
  type Severity,
} from "@limbwright/shared/finding";
import { listText } from "@limbwright/shared/text";
import type { Acceptance, DeclaredRules, LocalRules, Protocol } from "../../model/index.ts";
import type { AnyRule } from "./definition.ts";
import { type KnownRule, refusedAt, unknownName } from "./parameters.ts";

/** The acceptance that covers a finding of a rule on a day; undefined when none does. */
export function acceptanceOf(
  protocol: Protocol,
  finding: Accepting,
  rule: AnyRule,
  on: string,
): AcceptedBy | undefined {
  const last = lastDayAllowed(finding.severity, on);
  const acceptance = acceptancesFor(protocol).find(
    (one) => covers(one, finding, rule, protocol) && isInForce(one, on) && one.until <= last,
  );
  return (
    acceptance && {
      because: acceptance.because,
      by: listText([acceptance.by, ...(acceptance.alsoBy === undefined ? [] : [acceptance.alsoBy])]),
      until: acceptance.until,
      origin: acceptance.origin,
    }
  );
}

/** What of a finding decides whether an acceptance covers it. */
type Accepting = Pick<Finding, "severity" | "subject">;

/**
 * Whether an acceptance covers a finding of a rule, whatever the day. What is unsafe is covered by one that names it, and for which two
 * roles answer until the protocol is reviewed.
 */
export function covers(
  acceptance: Acceptance,
  { severity, subject }: Accepting,
  rule: KnownRule,
  protocol: Protocol,
): boolean {
  if (acceptance.rule !== rule.id || !isAcceptable(rule, severity)) return false;
  if (acceptance.subject !== undefined && acceptance.subject !== subject) return false;
  return !isAtLeast(severity, "unsafe") || lacksForUnsafe(acceptance, protocol) === undefined;
}

/** What an acceptance lacks to cover something unsafe; undefined where it lacks nothing. */
export function lacksForUnsafe(
  { subject, alsoBy, until }: Acceptance,
  { reviewBy }: Protocol,
): "subject" | "second role" | "end before the review" | undefined {
  if (subject === undefined || subject.trim() === "") return "subject";
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
    if (isAcceptable(rule)) return [];
    return [
      refusedAt(acceptance.ruleOrigin, {
        rule: "parameter-not-allowed",
        what: `A finding of \`${rule.id}\` cannot be accepted.`,
        label: "cannot be accepted",
        next: "Remove the acceptance and mend what the rule finds.",
      }),
    ];
  });
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
