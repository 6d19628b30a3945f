import type { Repair } from "@limbwright/shared/finding";
import { listText } from "@limbwright/shared/text";
import type { KnownCondition, PatientCondition, Patients, Protocol } from "../../model/index.ts";
import { usedAgents } from "../../model/index.ts";
import { linesBefore, needsALook } from "../../model/text-changes.ts";
import { type Detected, found, HOLDS, type Judgement, type Rule, undecided } from "../engine/definition.ts";
import { isPrilocaine } from "../facts/known-agents.ts";
import { SOURCES } from "./sources.ts";

export const rule: Rule = {
  id: "condition-not-decided",
  title: "The main contraindications are decided: contraindicated, caution, or allowed with a reason",
  group: "readiness",
  severity: "doubtful",
  why: "Published lists disagree on these conditions, so a protocol that is silent leaves each doctor to decide alone.",
  sources: SOURCES,
  judge: ({ protocol }) => judge(protocol),
};

const ALWAYS: readonly KnownCondition[] = ["allergy", "sickle-cell", "vascular-disease", "hypertension"];

function judge(protocol: Protocol): Judgement {
  const { patients } = protocol;
  if (!patients) return undecided("the protocol does not say whom it covers");
  const withoutReason = patients.conditions.filter((one) => one.decision === "allowed" && !hasReason(one));
  const undecidedConditions = missingFrom(protocol, patients);
  if (undecidedConditions.length > 0 && patients.incomplete) {
    return undecided("a condition was not understood", patients.origin);
  }
  const detected = [
    ...withoutReason.map(allowedWithoutReason),
    ...(undecidedConditions.length > 0 ? [notNamed(patients, undecidedConditions)] : []),
  ];
  return detected.length > 0 ? found(...detected) : HOLDS;
}

/** The conditions asked for that the protocol does not name at all. */
function missingFrom(protocol: Protocol, patients: Patients): KnownCondition[] {
  const asked = usedAgents(protocol).some(isPrilocaine)
    ? [...ALWAYS, "methaemoglobinaemia" as const]
    : ALWAYS;
  return asked.filter((condition) => !patients.conditions.some((one) => one.condition === condition));
}

function hasReason({ because }: PatientCondition): boolean {
  return because !== undefined && because.trim() !== "";
}

function allowedWithoutReason({ condition, text, origin }: PatientCondition): Detected {
  return {
    origin,
    what: `\`${condition ?? text ?? "This"}\` is allowed without a reason.`,
    label: "why allowed?",
    next: 'Add `because "…"`, or write `caution` or `contraindicated` instead of `allowed`.',
  };
}

function notNamed(patients: Patients, conditions: readonly KnownCondition[]): Detected {
  const [first] = conditions;
  const names = conditions.map((condition) => `\`${condition}\``).join(", ");
  return {
    origin: patients.origin,
    what: `The protocol does not decide on ${names}.`,
    label:
      conditions.length === 1
        ? "1 condition is not decided"
        : `${conditions.length} conditions are not decided`,
    next: `For each write \`contraindicated ${first} "…"\`, \`caution ${first} "…"\` or \`allowed ${first} because "…"\`.`,
    repairs: contraindicated(patients, conditions),
  };
}

/** The strictest decision, which nobody is harmed by before an author has looked at it. */
function contraindicated(
  { conditions: decided, bounds }: Patients,
  conditions: readonly KnownCondition[],
): Repair[] {
  const lines = conditions.map((condition) => `contraindicated ${condition}`);
  const place = decided[0]?.origin ?? Object.values(bounds)[0]?.origin;
  return place ? needsALook(`Write ${listText(lines)}`, linesBefore(place, lines)) : [];
}
