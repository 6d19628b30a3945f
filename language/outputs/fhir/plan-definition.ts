import { plainMarkdown } from "@limbwright/shared/text";
import { VARIABLES, type Variable } from "../../population/index.ts";
import type { GivenDose } from "./activity-definitions.ts";
import { definitionOf, type Interchange } from "./definitions.ts";
import { goalsOf } from "./goals.ts";
import { planActions } from "./plan-actions.ts";
import { rangeOf } from "./quantities.ts";
import type { Coding, PlanDefinition } from "./resources.ts";
import { LOINC, MEASURE, PLAN_TYPE, USAGE_CONTEXT } from "./systems.ts";
import { codeableConcept, stringOf, unlessEmpty } from "./texts.ts";

export function planDefinition(interchange: Interchange, doses: readonly GivenDose[]): PlanDefinition {
  const { protocol, file, notCoded } = interchange;
  const { name, title, owner, reviewBy, status } = protocol;
  const definition = definitionOf(interchange, { element: "plan", id: "plan", title: title ?? name });
  const approved = status.value.kind === "approved" ? status.value : undefined;
  if (status.value.kind === "in-review")
    notCoded.noteLeftOut("status", "that it is in review: FHIR knows draft, active and retired");
  if (approved && file.use === "draft") {
    notCoded.noteLeftOut(
      "status",
      `that its text was approved by ${approved.by} on ${approved.on}: this is a draft`,
    );
  }
  const isActive = approved !== undefined && file.use === "protocol";
  return {
    resourceType: "PlanDefinition",
    ...definition,
    type: codeableConcept(PLAN_TYPE, "clinical-protocol"),
    ...(owner && { contact: [{ name: stringOf(owner.value) }] }),
    ...unlessEmpty("useContext", useContexts(interchange)),
    ...(protocol.indications.length > 0 && {
      purpose: protocol.indications.map(({ value }) => plainMarkdown(stringOf(value))).join("\n\n"),
    }),
    ...(isActive && { approvalDate: approved.on, endorser: [{ name: stringOf(approved.by) }] }),
    ...(reviewBy && { effectivePeriod: { end: reviewBy.value } }),
    goal: goalsOf(interchange),
    action: planActions(interchange, doses),
  };
}

/** The measures of the patients it is for. An end that does not belong to a range, FHIR cannot say: it then has no range. */
function useContexts({ protocol, notCoded }: Interchange) {
  return VARIABLES.flatMap((variable) => {
    const range = protocol.patients.bounds[variable];
    const valueRange = range && rangeOf(range);
    if (range && !valueRange)
      notCoded.inWords("patients", `the range of ${variable}, whose ends do not all belong to it`);
    return valueRange ? [{ code: CONTEXTS[variable], valueRange }] : [];
  });
}

const CONTEXTS: Readonly<Record<Variable, Coding>> = {
  age: { system: USAGE_CONTEXT, code: "age", display: "Age Range" },
  weight: { system: LOINC, code: "29463-7", display: "Body weight" },
  systolic: { system: LOINC, code: "8480-6", display: "Systolic blood pressure" },
  circumference: { system: MEASURE, code: "circumference", display: "Circumference of the limb at the cuff" },
};
