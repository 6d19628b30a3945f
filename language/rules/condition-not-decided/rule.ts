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
import { type Detected, found, HOLDS, type Judgement, type Rule, undecided } from "../engine/definition.ts";
import { isPrilocaine } from "../facts/known-agents.ts";

export const rule: Rule = {
  id: "condition-not-decided",
  title: "The main contraindications are decided: contraindicated, caution, or allowed with a reason",
  group: "readiness",
  severity: "doubtful",
  why: "Published lists disagree on these conditions, so a protocol that is silent leaves each doctor to decide alone.",
  sources: [
    {
      source: "tayside",
      says: "allergy; systolic over 200 mmHg; infection of the limb; lymphoedema; methaemoglobinaemia; morbid obesity; peripheral vascular disease; both arms; Raynaud; scleroderma; sickle cell disease or trait; children case by case",
    },
    {
      source: "melbourne-children",
      says: "allergy; open fracture; reconsider at a systolic over 175 mmHg (children); severe crush; poor circulation; sickle cell disease",
    },
    {
      source: "perth-2019",
      says: "absolute: allergy, methaemoglobinaemia, systolic over 220 mmHg, compartment syndrome, uncooperative, no access in both; relative: coagulopathy, conduction defect, vascular disease, sickle cell, epilepsy, infection, under 10 years, pregnancy, lactation, anticoagulants",
    },
    {
      source: "hobart",
      says: "uncooperative; under 10 years; unstable epilepsy; uncontrolled hypertension; severe liver disease; second or third degree block; sickle cell; open fracture; injury at the cuff site; over 60 min; no resuscitation equipment",
    },
    {
      source: "emergency-handbook",
      says: "systolic over 200 mmHg; homozygous sickle cell disease; crush only relative",
    },
    {
      source: "emed-ie",
      says: "absolute only: allergy and uncontrolled hypertension; relative: Raynaud, Buerger, crush injury, uncooperative; sickle cell theoretical",
    },
    { source: "aorn-2020", says: "tourniquet: vascular disease, arterial graft, thigh over 100 cm" },
    {
      source: "prilocaine-characteristics",
      says: "prilocaine is contraindicated in congenital or acquired methaemoglobinaemia and in anaemia",
    },
  ],
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
    ...withoutReason.map(tellAllowedWithoutReason),
    ...(undecidedConditions.length > 0 ? [notNamed(patients, undecidedConditions)] : []),
  ];
  return detected.length > 0 ? found(...detected) : HOLDS;
}

/** The conditions asked for that the protocol does not name at all. */
function missingFrom(protocol: Protocol, patients: Patients): KnownCondition[] {
  const asked = agentsOf(protocol).some(isPrilocaine) ? [...ALWAYS, "methaemoglobinaemia" as const] : ALWAYS;
  return asked.filter((condition) => !patients.conditions.some((one) => one.condition === condition));
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
