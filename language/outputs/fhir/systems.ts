/** Units: https://hl7.org/fhir/R4/terminologies-systems.html. */
export const UCUM = "http://unitsofmeasure.org";
/** Drugs, by the Anatomical Therapeutic Chemical classification: the same page. */
export const ATC = "http://www.whocc.no/atc";
/** Measures of a patient; the codes are those of the vital signs, https://hl7.org/fhir/R4/observation-vitalsigns.html. */
export const LOINC = "http://loinc.org";
/** What a definition is for: https://hl7.org/fhir/R4/codesystem-usage-context-type.html. */
export const USAGE_CONTEXT = "http://terminology.hl7.org/CodeSystem/usage-context-type";
/** Kinds of plans: https://hl7.org/fhir/R4/codesystem-plan-definition-type.html. */
export const PLAN_TYPE = "http://terminology.hl7.org/CodeSystem/plan-definition-type";
/** What an action does: https://hl7.org/fhir/R4/codesystem-action-type.html. */
export const ACTION_TYPE = "http://terminology.hl7.org/CodeSystem/action-type";

/** Steps, by the word of the language that begins them. */
export const STEP = "urn:limbwright:step";
/** What is in place before the first step. */
export const PREPARATION = "urn:limbwright:preparation";
/** Measures of a patient that LOINC is not used for. */
export const MEASURE = "urn:limbwright:measure";
/** How a part of a protocol was kept that FHIR has no element for. */
export const KEPT = "urn:limbwright:kept";
/** Rules of the catalogue. */
export const RULE = "urn:limbwright:rule";
export const MEANING = "urn:limbwright:meaning";
export const PROOF = "urn:limbwright:proof";
export const PROTOCOL = "urn:limbwright:protocol";
