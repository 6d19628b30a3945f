import {
  type DrawnUp,
  drawUp,
  inBase,
  quantityText,
  type Rational,
  shareOf,
} from "@limbwright/shared/quantity";
import {
  type Agent,
  allHandlers,
  type Dose,
  type Protocol,
  type Syringe,
  stepsWithin,
} from "../../model/index.ts";
import { isOfToxicitySigns } from "../../runs/index.ts";
import { parametersFor } from "../engine/parameters.ts";

/** How the doses of a protocol are drawn up. */
export interface DrawingUp {
  /** The share of a dose that drawing it up may take away, as local rules set it. */
  readonly mostLost: Rational;
  /** The names of doses that an emergency or an answer to toxicity gives: there it is too little that harms. */
  readonly toRescue: ReadonlySet<string>;
}

export function drawingUpIn(protocol: Protocol): DrawingUp {
  const percent = parametersFor({ id: "", parameters: [] }, protocol.localRules)("drawn-up-loss").value;
  const treatments = [...protocol.emergencies, ...allHandlers(protocol).filter(isOfToxicitySigns)];
  const given = treatments
    .flatMap(({ steps }) => [...stepsWithin(steps)])
    .flatMap((step) => (step.kind === "give" ? [step.dose] : []));
  return { mostLost: shareOf(percent), toRescue: new Set(given) };
}

/** A dose that is there to rescue, wherever it is declared. */
export function isRescue(
  { name, emergency }: Pick<Dose, "name" | "emergency">,
  agent: Agent | undefined,
  { toRescue }: DrawingUp,
): boolean {
  return emergency !== undefined || toRescue.has(name) || agent?.kind?.value === "rescue";
}

/** The syringe that a dose names, else the one of its drug; undefined where nobody says one. */
export function syringeFor({ agent, syringe }: Pick<Dose, "agent" | "syringe">): Syringe | undefined {
  return syringe ?? agent?.syringe;
}

/** What is drawn up of a volume of a drug. */
export function drawnUp(volume: Rational, syringe: Syringe | undefined, { mostLost }: DrawingUp): DrawnUp {
  return drawUp(volume, syringe && inBase(syringe.mark), mostLost);
}

/** "1 mL, marked every 0.01 mL". */
export function syringeText({ volume, mark }: Syringe): string {
  return `${quantityText(volume)}, marked every ${markText(mark)}`;
}

/** A mark is told as it is written: two decimals would turn 0.005 mL into another one. */
export function markText(mark: Syringe["mark"]): string {
  return quantityText(mark);
}
