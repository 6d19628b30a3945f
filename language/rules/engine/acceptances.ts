import type { AcceptedBy, Finding } from "@limbwright/shared/finding";
import type { Acceptance, DeclaredRules, LocalRules, Protocol } from "../../model/index.ts";
import { closestName } from "../../model/spelling.ts";
import type { AnyRule } from "./definition.ts";
import type { KnownRule } from "./parameters.ts";

/** The acceptance that covers a finding of a protocol on a day; undefined when none does. */
export function acceptanceOf(protocol: Protocol, rule: AnyRule, on: string): AcceptedBy | undefined {
  if (rule.acceptable === false || rule.severity === "error") return undefined;
  const acceptance = acceptancesFor(protocol).find((one) => one.rule === rule.id && isInForce(one, on));
  return (
    acceptance && {
      because: acceptance.because,
      by: acceptance.by,
      until: acceptance.until,
      origin: acceptance.origin,
    }
  );
}

/** Whether an acceptance has not ended: its last day belongs to it. */
export function isInForce({ until }: Acceptance, on: string): boolean {
  return until >= on;
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
    if (rule && rule.acceptable !== false && rule.severity !== "error") return [];
    const base = {
      origin: acceptance.ruleOrigin,
      why: "",
      related: [],
      repairs: [],
      severity: "error" as const,
    };
    if (!rule) {
      const near = closestName(
        acceptance.rule,
        rules.map(({ id }) => id),
      );
      return [
        {
          ...base,
          rule: "name-unknown",
          what: `There is no rule called \`${acceptance.rule}\`.`,
          label: "not known",
          next: near ? `Did you mean \`${near}\`?` : "`limb rules` lists every rule.",
        },
      ];
    }
    return [
      {
        ...base,
        rule: "parameter-not-allowed",
        what: `A finding of \`${rule.id}\` cannot be accepted.`,
        label: "cannot be accepted",
        next: "Remove the acceptance and mend what the rule finds.",
      },
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
    const near = closestName(protocol, protocols);
    return [
      {
        rule: "name-unknown",
        severity: "error",
        origin: protocolOrigin ?? origin,
        what: `No protocol of the workspace is called \`${protocol}\`, so nothing is accepted here.`,
        label: "no such protocol",
        why: "",
        next: near ? `Did you mean \`${near}\`?` : "Check the spelling, or remove the acceptance.",
        related: [],
        repairs: [],
      },
    ];
  });
}
