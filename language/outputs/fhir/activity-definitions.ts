import { quantityText } from "@limbwright/shared/quantity";
import { listText } from "@limbwright/shared/text";
import {
  type Agent,
  type AmountNode,
  allSteps,
  amountWords,
  type Dose,
  type Step,
  type Syringe,
  type TissuePlace,
  type WrittenQuantity,
} from "../../model/index.ts";
import { rangeText } from "../../population/index.ts";
import { SUBSTANCE_CODE } from "../../rules/facts/drugs.ts";
import { syringeFor, syringeText } from "../../rules/facts/syringes.ts";
import { definitionOf, type Interchange, type NotCodedList } from "./definitions.ts";
import { dosagesOf, quantitiesOf, sayableAmount } from "./dosages.ts";
import { ATC, inWords, stringOf, unlessEmpty } from "./elements.ts";
import type { ActivityDefinition, CodeableConcept, Dosage } from "./resources.ts";

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
  if (node?.kind !== "bands") return [variantOf(making, agent, node, { element: `dose ${dose.name}`, id })];
  return node.rows.map(({ range, amount }, at) => {
    const naming = { element: `dose ${dose.name} band ${at + 1}`, id: `${id}-band-${at + 1}` };
    const forWhom = `${node.variable} ${rangeText(range.interval, range.unit)}`;
    return { forWhom, ...variantOf(making, agent, amount, naming, forWhom) };
  });
}

function variantOf(
  making: Making,
  agent: Agent,
  amount: AmountNode | undefined,
  naming: Pick<Activity, "element" | "id">,
  forWhom?: string,
) {
  const { interchange, dose } = making;
  const title = `${dose.name}: ${agent.name}${forWhom === undefined ? "" : `, ${forWhom}`}`;
  const only = forWhom === undefined ? "" : `${forWhom} alone: `;
  const dosages = dosagesOf(interchange.notCoded, dose, amount).map((dosage) => ({
    ...dosage,
    text: stringOf(`${only}${dosage.text}`),
  }));
  const { concentration } = dose;
  const syringe = syringeFor(dose);
  return { definition: activity(making, { agent, ...naming, title, concentration, syringe, dosages }) };
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
      ...quantitiesOf(sayable),
    };
    const [only, another] = agent.concentrations;
    const concentration = another ? undefined : only;
    const { syringe } = agent;
    return [activity(making, { agent, ...naming, title, concentration, syringe, dosages: [dosage] })];
  });
}

interface Activity {
  readonly agent: Agent;
  readonly element: string;
  readonly id: string;
  readonly title: string;
  readonly concentration: WrittenQuantity | undefined;
  readonly syringe: Syringe | undefined;
  readonly dosages: readonly Dosage[];
}

function activity(
  { interchange, route }: Making,
  { agent, concentration, syringe, dosages, ...naming }: Activity,
): ActivityDefinition {
  const { notCoded } = interchange;
  const instructions = instructionsOf(notCoded, agent, syringe);
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
  const ways = new Set(steps.flatMap((step) => ("dose" in step && step.dose === name ? [wayOf(step)] : [])));
  return ways.size === 0 ? undefined : inWords([...ways].sort().join("; or, where the step says so, "));
}

function wayOf(step: Extract<Step, { readonly dose: string }>): string {
  if (step.kind === "inject") return "Into a vein of the limb, behind an inflated and confirmed cuff";
  return step.as ? IN_TISSUES[step.as] : "Intravenous, systemic";
}

const IN_TISSUES: Readonly<Record<TissuePlace, string>> = {
  infiltration: "Into the tissues, as infiltration",
  "nerve-block": "Around a nerve, as a nerve block",
};

/** A drug with its ATC code, and its strength in words. */
function productOf(
  notCoded: NotCodedList,
  agent: Agent,
  concentration: WrittenQuantity | undefined,
): CodeableConcept {
  const strength = concentration ? ` ${quantityText(concentration)}` : "";
  if (concentration) notCoded.inWords(`agent ${agent.name}`, `the strength${strength} in the syringe`);
  return { ...drugCode(notCoded, agent), text: stringOf(`${agent.name}${strength}`) };
}

/** The ATC code alone; nothing where the formulary gives none that is one. */
export function drugCode(notCoded: NotCodedList, { name, atc }: Agent): Pick<CodeableConcept, "coding"> {
  if (atc && SUBSTANCE_CODE.test(atc.value)) return { coding: [{ system: ATC, code: atc.value }] };
  notCoded.inWords(
    `agent ${name}`,
    atc
      ? `its code ${atc.value}, which is no ATC code of a substance`
      : "which drug it is: it has no ATC code",
  );
  return {};
}

/** What a formulary says of a drug that a dosage has no element for, each as an instruction in words. */
function instructionsOf(
  notCoded: NotCodedList,
  agent: Agent,
  syringe: Syringe | undefined,
): CodeableConcept[] {
  const { concentrations } = agent;
  const { name, title, supply, diluent, plain, preservativeFree, contraindicated, cautions, kind, atc } =
    agent;
  const lines = [
    contraindicated && `Contraindicated for this block: ${contraindicated.value}`,
    title,
    kind && `Used as: ${kind.value.replace("-", " ")}`,
    atc && !SUBSTANCE_CODE.test(atc.value) && `Code: ${atc.value}`,
    concentrations.length > 1 &&
      `In the syringe as ${listText(concentrations.map((one) => quantityText(one)))}`,
    supply && `Supplied as ${quantityText(supply.concentration)} in ${quantityText(supply.volume)}`,
    diluent && `Diluted with ${diluent.value}`,
    syringe && `Drawn up in a syringe of ${syringeText(syringe)}`,
    plain && "Plain: without a vasoconstrictor",
    preservativeFree && "Without a preservative",
    ...cautions.map(({ text, group }) => `Take care: ${text}${group === undefined ? "" : ` (${group})`}`),
  ];
  const said = lines.filter((line) => typeof line === "string");
  for (const line of said) notCoded.inWords(`agent ${name}`, lowerFirst(line));
  return said.map(inWords);
}

function lowerFirst(words: string): string {
  return words.slice(0, 1).toLowerCase() + words.slice(1);
}
