import { quantityText } from "@limbwright/shared/quantity";
import { listText } from "@limbwright/shared/text";
import type { Agent, WrittenQuantity } from "../../model/index.ts";
import type { NotCodedList } from "./not-coded.ts";
import type { CodeableConcept } from "./resources.ts";
import { ATC } from "./systems.ts";
import { inWords, stringOf } from "./texts.ts";

/** A drug with its ATC code, and its strength in words. */
export function productOf(
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
  if (atc && CODE.test(atc.value)) return { coding: [{ system: ATC, code: atc.value }] };
  notCoded.inWords(
    `agent ${name}`,
    atc
      ? `its code ${atc.value}, which is no ATC code of a substance`
      : "which drug it is: it has no ATC code",
  );
  return {};
}

/** A code of the fifth level (https://www.whocc.no/atc/structure_and_principles/). */
const CODE = /^[A-Z]\d{2}[A-Z]{2}\d{2}$/;

/** What a formulary says of a drug that a dosage has no element for, each as an instruction in words. */
export function instructionsOf(notCoded: NotCodedList, agent: Agent): CodeableConcept[] {
  const { concentrations } = agent;
  const { name, title, supply, diluent, plain, preservativeFree, contraindicated, cautions, kind, atc } =
    agent;
  const lines = [
    contraindicated && `Contraindicated for this block: ${contraindicated.value}`,
    title,
    kind && `Used as: ${kind.value.replace("-", " ")}`,
    atc && !CODE.test(atc.value) && `Code: ${atc.value}`,
    concentrations.length > 1 &&
      `In the syringe as ${listText(concentrations.map((one) => quantityText(one)))}`,
    supply && `Supplied as ${quantityText(supply.concentration)} in ${quantityText(supply.volume)}`,
    diluent && `Diluted with ${diluent.value}`,
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
