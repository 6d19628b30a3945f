import type { RuleFile } from "@limbwright/shared/rule-file";
import type { Whole } from "../../rule-file/protocol.ts";
import { defineDoses, definitionsOf } from "./activity-definitions.ts";
import type { Interchange } from "./definitions.ts";
import { canonicalUrl, identifiersOf } from "./identity.ts";
import { type NotCoded, NotCodedList } from "./not-coded.ts";
import { findingsOutcome, notCodedOutcome, noteProof } from "./outcomes.ts";
import { planDefinition } from "./plan-definition.ts";
import type { Bundle, Resource } from "./resources.ts";

export interface FhirBundle {
  readonly bundle: Bundle;
  /** What stands in it in words only, or not at all; the Bundle says the same in its OperationOutcome. */
  readonly notCoded: readonly NotCoded[];
}

/**
 * A protocol as a Bundle of HL7 FHIR R4 (4.0.1): a PlanDefinition, an ActivityDefinition for each dose, and what of the
 * protocol is not coded. A function of the protocol and its rule file alone.
 */
export function fhirBundle(protocol: Whole, file: RuleFile): FhirBundle {
  const notCoded = new NotCodedList();
  const interchange: Interchange = { protocol, file, notCoded };
  const doses = defineDoses(interchange);
  const plan = planDefinition(interchange, doses);
  noteProof(interchange);
  const findings = findingsOutcome(interchange);
  const definitions = [plan, ...doses.flatMap(definitionsOf)];
  const outcomes = [notCodedOutcome(notCoded.all()), ...(findings ? [findings] : [])];
  const [meaning] = identifiersOf(file);
  if (!meaning) throw new Error("a rule file has a digest of its meaning");
  return {
    bundle: {
      resourceType: "Bundle",
      identifier: meaning,
      type: "collection",
      entry: [
        ...definitions.map((resource) => entry(resource.url, resource)),
        ...outcomes.map((resource) => entry(canonicalUrl(file, resource.id), resource)),
      ],
    },
    notCoded: notCoded.all(),
  };
}

function entry(fullUrl: string, resource: Resource) {
  return { fullUrl, resource };
}
