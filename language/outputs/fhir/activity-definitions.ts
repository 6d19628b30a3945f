import {
  type Agent,
  type AmountNode,
  allSteps,
  amountWords,
  type Dose,
  type Step,
  type WrittenQuantity,
} from "../../model/index.ts";
import { rangeText } from "../../population/index.ts";
import { definitionOf, type Interchange } from "./definitions.ts";
import { dosagesOf } from "./dosages.ts";
import { instructionsOf, productOf } from "./products.ts";
import type { ActivityDefinition, CodeableConcept, Dosage } from "./resources.ts";
import { sayableAmount } from "./sayable-amount.ts";
import { inWords, stringOf, unlessEmpty } from "./texts.ts";

/** What a step that gives a dose refers to. */
export interface GivenDose {
  readonly dose: string;
  /** One for every patient, or one for each band, of which one at most is a patient's. */
  readonly variants: readonly { readonly forWhom?: string; readonly definition: ActivityDefinition }[];
  /** What is mixed into it. */
  readonly mixedIn: readonly ActivityDefinition[];
}

/** The doses of a protocol and of its emergencies, each with its definitions. */
export function defineDoses(interchange: Interchange): GivenDose[] {
  const { protocol, notCoded } = interchange;
  const steps = [...allSteps(protocol)];
  return protocol.doses.map((dose, at) => {
    const { agent, name } = dose;
    const making: Making = { interchange, dose, id: `dose-${at + 1}`, route: routeOf(dose, steps) };
    if (!making.route) notCoded.inWords(`dose ${name}`, "how it is given: no step gives it");
    const variants = agent ? variantsOf(making, agent) : [];
    return { dose: name, variants, mixedIn: defineAdjuvants(making) };
  });
}

export function definitionsOf({ variants, mixedIn }: GivenDose): ActivityDefinition[] {
  return [...variants.map(({ definition }) => definition), ...mixedIn];
}

interface Making {
  readonly interchange: Interchange;
  readonly dose: Dose;
  readonly id: string;
  readonly route: CodeableConcept | undefined;
}

function variantsOf(making: Making, agent: Agent): GivenDose["variants"] {
  const { dose, id } = making;
  const node = dose.amount?.node;
  if (node?.kind !== "bands") {
    const definition = defineActivity(making, agent, { element: `dose ${dose.name}`, id, amount: node });
    return [{ definition }];
  }
  return node.rows.map(({ range, amount }, at) => {
    const forWhom = `${node.variable} ${rangeText(range.interval, range.unit)}`;
    const element = `dose ${dose.name} band ${at + 1}`;
    const naming = { element, id: `${id}-band-${at + 1}`, amount, forWhom };
    return { forWhom, definition: defineActivity(making, agent, naming) };
  });
}

interface Naming {
  readonly element: string;
  readonly id: string;
  readonly amount: AmountNode | undefined;
  readonly forWhom?: string;
}

function defineActivity(
  making: Making,
  agent: Agent,
  { element, id, amount, forWhom }: Naming,
): ActivityDefinition {
  const { interchange, dose } = making;
  const title = `${dose.name}: ${agent.name}${forWhom === undefined ? "" : `, ${forWhom}`}`;
  const only = forWhom === undefined ? "" : `${forWhom} alone: `;
  const dosages = dosagesOf(interchange.notCoded, dose, amount).map((dosage) => ({
    ...dosage,
    text: stringOf(`${only}${dosage.text}`),
  }));
  return activity(making, { agent, element, id, title, concentration: dose.concentration, dosages });
}

function defineAdjuvants(making: Making): ActivityDefinition[] {
  const { dose, id, interchange } = making;
  return dose.adjuvants.flatMap(({ agent, amount }, at) => {
    if (!agent) return [];
    const naming = { element: `dose ${dose.name} with ${agent.name}`, id: `${id}-with-${at + 1}` };
    const title = `${agent.name}, mixed into ${dose.name}`;
    const sayable = amount && sayableAmount(amount.node);
    const words = amount ? amountWords(amount.node) : "an amount that is not said";
    if (!sayable) interchange.notCoded.inWords(`dose ${dose.name}`, `its ${agent.name}, ${words}`);
    const dosage: Dosage = {
      sequence: 1,
      text: stringOf(`${words}, mixed into ${dose.name}`),
      ...(sayable && { doseAndRate: [{ doseQuantity: sayable.dose }] }),
      ...(sayable?.cap && { maxDosePerAdministration: sayable.cap }),
    };
    const [only, another] = agent.concentrations;
    const concentration = another ? undefined : only;
    return [activity(making, { agent, ...naming, title, concentration, dosages: [dosage] })];
  });
}

interface Activity {
  readonly agent: Agent;
  readonly element: string;
  readonly id: string;
  readonly title: string;
  readonly concentration: WrittenQuantity | undefined;
  readonly dosages: readonly Dosage[];
}

function activity(
  { interchange, route }: Making,
  { agent, concentration, dosages, ...naming }: Activity,
): ActivityDefinition {
  const { notCoded } = interchange;
  const instructions = instructionsOf(notCoded, agent);
  return {
    resourceType: "ActivityDefinition",
    ...definitionOf(interchange, naming),
    ...unlessEmpty(
      "relatedArtifact",
      agent.sources.map(({ value }) => ({ type: "citation" as const, display: stringOf(value) })),
    ),
    kind: "MedicationRequest",
    intent: "proposal",
    productCodeableConcept: productOf(notCoded, agent, concentration),
    dosage: dosages.map((dosage) => ({
      ...dosage,
      ...unlessEmpty("additionalInstruction", instructions),
      ...(route && { route }),
    })),
  };
}

/** Where a dose goes, which the steps say: into the limb behind the cuff, or into the circulation. */
function routeOf({ name }: Dose, steps: readonly Step[]): CodeableConcept | undefined {
  const kinds = steps.flatMap((step) => ("dose" in step && step.dose === name ? [step.kind] : []));
  const ways = [...new Set(kinds)].map((kind) =>
    kind === "inject"
      ? "Into a vein of the limb, behind an inflated and confirmed cuff"
      : "Intravenous, systemic",
  );
  return ways.length === 0 ? undefined : inWords(ways.sort().join("; or, where the step says so, "));
}
