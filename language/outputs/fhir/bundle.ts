import { type RuleFile, readRuleFile } from "@limbwright/shared/rule-file";
import { type Judged, judgeAllIn } from "../../check/judged.ts";
import type { Site } from "../../lower/site.ts";
import type { CompileOptions } from "../../rule-file/compile.ts";
import { type Compiled, compileProtocol, type Refused } from "../../rule-file/compile.ts";
import { isWhole, type Whole } from "../../rule-file/protocol.ts";
import { defineDoses, definitionsOf } from "./activity-definitions.ts";
import { canonicalUrl, type Interchange, identifiersOf, type NotCoded, NotCodedList } from "./definitions.ts";
import { findingsOutcome, notCodedOutcome, noteProof } from "./outcomes.ts";
import { planDefinition } from "./plan-definition.ts";
import type { Bundle, Resource } from "./resources.ts";

/** A protocol as FHIR: what its rule file would say of itself, the text of the Bundle, and what is not coded in it. */
export type FhirCompiled =
  | (Extract<Compiled, { kind: "written" }> & { readonly notCoded: readonly NotCoded[] })
  | Refused;

/**
 * Every protocol of a file as the text of a Bundle of HL7 FHIR R4, in the order of the text. Undefined when there is no such
 * file. Refused as a rule file is, and a function of the sources and the catalogue alone, as a rule file is.
 */
export function fhirBundlesOf(site: Site, file: string, options: CompileOptions): FhirCompiled[] | undefined {
  return judgeAllIn(site, file, options)?.map((judged) => fhirOf(judged, options.draft ?? false));
}

function fhirOf(judged: Judged, draft: boolean): FhirCompiled {
  const compiled = compileProtocol(judged, draft);
  if (compiled.kind === "refused") return compiled;
  const { protocol } = judged.judgement;
  const reading = readRuleFile(compiled.text);
  if (reading.kind === "refused" || !isWhole(protocol))
    throw new Error("a rule file was written that cannot be read");
  const { bundle, notCoded } = fhirBundle(protocol, reading.file);
  return { ...compiled, text: `${JSON.stringify(bundle, undefined, 2)}\n`, notCoded };
}

export interface FhirBundle {
  readonly bundle: Bundle;
  /** What stands in it in words only, or not at all; the Bundle says the same in its OperationOutcome. */
  readonly notCoded: readonly NotCoded[];
}

/**
 * A protocol as a Bundle of HL7 FHIR R4 (4.0.1): a PlanDefinition, an ActivityDefinition for each dose, and what of the
 * protocol is not coded. A function of the protocol and its rule file alone.
 */
function fhirBundle(protocol: Whole, file: RuleFile): FhirBundle {
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
