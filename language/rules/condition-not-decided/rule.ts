import type { Repair } from "@limbwright/shared/finding";
import { listText } from "@limbwright/shared/text";
import {
  agentsOf,
  type KnownCondition,
  type PatientCondition,
  type Patients,
  type Protocol,
} from "../../model/index.ts";
import { linesBefore, needsALook } from "../../model/text-changes.ts";
import type { Rule } from "../engine/definition.ts";
import { type Detected, found, type Judgement, undecided } from "../engine/judgement.ts";
import { allergenOf } from "../facts/allergies.ts";
import { isPrilocaine } from "../facts/drugs.ts";

export const rule: Rule = {
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
  return found(
    ...withoutReason.map(tellAllowedWithoutReason),
    ...otherAllergies(protocol, patients).map(tellOtherAllergy),
    ...(undecidedConditions.length > 0 ? [notNamed(patients, undecidedConditions)] : []),
  );
}

/** The conditions asked for that the protocol does not name at all. */
function missingFrom(protocol: Protocol, patients: Patients): KnownCondition[] {
  const asked = agentsOf(protocol).some(isPrilocaine) ? [...ALWAYS, "methaemoglobinaemia" as const] : ALWAYS;
  return asked.filter((condition) => !patients.conditions.some((one) => one.condition === condition));
}

/** An allergy to latex says nothing of one to the anaesthetic. */
function otherAllergies(protocol: Protocol, { conditions }: Patients): PatientCondition[] {
  return conditions.filter(
    (one) => one.condition === "allergy" && allergenOf(one, protocol) === "something else",
  );
}

function tellOtherAllergy({ decision, text, origin }: PatientCondition): Detected {
  return {
    origin,
    what: `\`allergy\` is decided for “${text}” alone, and not for what the protocol gives.`,
    label: "not about what is given",
    next: `Write \`contraindicated allergy "…"\` about the anaesthetic, and this one in words alone: \`${decision} "Allergy to …"\`.`,
  };
}

function hasReason({ because }: PatientCondition): boolean {
  return because !== undefined && because.trim() !== "";
}

function tellAllowedWithoutReason({ condition, text, origin }: PatientCondition): Detected {
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
    repairs: writeContraindicated(patients, conditions),
  };
}

/** The strictest decision, which nobody is harmed by before an author has looked at it. */
function writeContraindicated(
  { conditions: decided, bounds }: Patients,
  conditions: readonly KnownCondition[],
): Repair[] {
  const lines = conditions.map((condition) => `contraindicated ${condition}`);
  const place = decided[0]?.origin ?? Object.values(bounds)[0]?.origin;
  return place ? needsALook(`Write ${listText(lines)}`, linesBefore(place, lines)) : [];
}
