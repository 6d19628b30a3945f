import { readRuleFile } from "@limbwright/shared/rule-file";
import type { Judged } from "../../check/judged.ts";
import { judgeAllIn } from "../../check/judged.ts";
import type { Site } from "../../lower/site.ts";
import {
  type Compiled,
  type CompileOptions,
  compileProtocol,
  type Refused,
} from "../../rule-file/compile.ts";
import { isWhole } from "../../rule-file/protocol.ts";
import { fhirBundle } from "./bundle.ts";
import type { NotCoded } from "./not-coded.ts";

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
