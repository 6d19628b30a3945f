/*
 * The part of HL7 FHIR R4 (4.0.1) that a protocol needs, with the names of the standard:
 * https://hl7.org/fhir/R4/plandefinition.html, https://hl7.org/fhir/R4/activitydefinition.html.
 */

export interface Coding {
  readonly system?: string;
  readonly code?: string;
  readonly display?: string;
}

export interface CodeableConcept {
  readonly coding?: readonly Coding[];
  readonly text?: string;
}

export interface Quantity {
  readonly value: number;
  readonly unit: string;
  readonly system: string;
  readonly code: string;
}

export interface Range {
  readonly low?: Quantity;
  readonly high?: Quantity;
}

export interface Timing {
  readonly repeat: {
    readonly count?: number;
    readonly duration?: number;
    readonly durationMax?: number;
    readonly durationUnit?: string;
    readonly period?: number;
    readonly periodUnit?: string;
  };
}

export interface Identifier {
  readonly type?: CodeableConcept;
  readonly system: string;
  readonly value: string;
}

/** A condition in words: its expression is the empty collection of FHIRPath, which is never true, so a person has to judge. */
export interface Applicability {
  readonly kind: "applicability" | "start";
  readonly expression: {
    readonly description: string;
    readonly language: "text/fhirpath";
    readonly expression: "{}";
  };
}

export interface RelatedAction {
  readonly actionId: string;
  readonly relationship: "after-start" | "after-end" | "before-start";
  readonly offsetDuration?: Quantity;
  readonly offsetRange?: Range;
}

export interface Action {
  readonly id: string;
  readonly title: string;
  readonly description?: string;
  readonly textEquivalent?: string;
  readonly code?: readonly CodeableConcept[];
  readonly type?: CodeableConcept;
  readonly trigger?: readonly { readonly type: "named-event"; readonly name: string }[];
  readonly condition?: readonly Applicability[];
  readonly relatedAction?: readonly RelatedAction[];
  readonly timingTiming?: Timing;
  readonly participant?: readonly { readonly type: "practitioner"; readonly role: CodeableConcept }[];
  readonly groupingBehavior?: "logical-group";
  readonly selectionBehavior?: "all" | "exactly-one";
  readonly requiredBehavior?: "must";
  readonly precheckBehavior?: "no";
  readonly cardinalityBehavior?: "single" | "multiple";
  readonly definitionCanonical?: string;
  readonly action?: readonly Action[];
}

export interface Goal {
  readonly description: CodeableConcept;
  readonly target?: readonly {
    readonly measure: CodeableConcept;
    readonly detailQuantity?: Quantity;
    readonly detailRange?: Range;
  }[];
}

/** What a definition of a plan and one of an activity say alike. */
export interface Definition {
  readonly id: string;
  readonly url: string;
  readonly identifier: readonly Identifier[];
  readonly version: string;
  readonly name: string;
  readonly title: string;
  readonly status: "draft" | "active" | "retired";
  readonly experimental?: true;
  readonly publisher?: string;
  readonly usage: string;
}

export interface PlanDefinition extends Definition {
  readonly resourceType: "PlanDefinition";
  readonly type: CodeableConcept;
  readonly contact?: readonly { readonly name: string }[];
  readonly useContext?: readonly { readonly code: Coding; readonly valueRange: Range }[];
  readonly purpose?: string;
  readonly approvalDate?: string;
  readonly effectivePeriod?: { readonly end: string };
  readonly endorser?: readonly { readonly name: string }[];
  readonly goal?: readonly Goal[];
  readonly action: readonly Action[];
}

export interface Dosage {
  readonly sequence: number;
  readonly text: string;
  readonly additionalInstruction?: readonly CodeableConcept[];
  readonly timing?: Timing;
  readonly asNeededCodeableConcept?: CodeableConcept;
  readonly route?: CodeableConcept;
  readonly doseAndRate?: readonly { readonly doseQuantity?: Quantity; readonly rateQuantity?: Quantity }[];
  readonly maxDosePerAdministration?: Quantity;
}

export interface ActivityDefinition extends Definition {
  readonly resourceType: "ActivityDefinition";
  readonly relatedArtifact?: readonly { readonly type: "citation"; readonly display: string }[];
  readonly kind: "MedicationRequest";
  readonly intent: "proposal";
  readonly productCodeableConcept: CodeableConcept;
  readonly dosage: readonly Dosage[];
}

export interface OperationOutcome {
  readonly resourceType: "OperationOutcome";
  readonly id: string;
  readonly issue: readonly {
    readonly severity: "error" | "warning" | "information";
    readonly code: "not-supported" | "business-rule";
    readonly details: CodeableConcept;
  }[];
}

export type Resource = PlanDefinition | ActivityDefinition | OperationOutcome;

export interface Bundle {
  readonly resourceType: "Bundle";
  readonly identifier: Identifier;
  readonly type: "collection";
  readonly entry: readonly { readonly fullUrl: string; readonly resource: Resource }[];
}
