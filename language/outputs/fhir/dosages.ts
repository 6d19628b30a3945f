import {
  type Dimension,
  durationText,
  type Quantity,
  quantityText,
  ratio,
  sameDimension,
} from "@limbwright/shared/quantity";
import { type AmountNode, amountWords, type Dose, type Duration } from "../../model/index.ts";
import { isPerWeight } from "../../rules/facts/maximum.ts";
import { lastingText } from "../automaton/words.ts";
import type { NotCodedList } from "./definitions.ts";
import { everyOf, inWords, lastingOf, quantityOf, stringOf } from "./elements.ts";
import type { Dosage, Quantity as FhirQuantity } from "./resources.ts";

/**
 * How a dose is given, in the order in which it is: at once, again under a condition, and as a rate. All of it stands in the
 * text of each; what has an element of its own stands there too. `amount` is the dose's own, or that of one band.
 */
export function dosagesOf(notCoded: NotCodedList, dose: Dose, amount: AmountNode | undefined): Dosage[] {
  const dosages = [...(amount ? givenOf(notCoded, dose, amount) : []), ...rateOf(notCoded, dose)];
  return dosages.map((one, at) => ({ sequence: at + 1, ...one }));
}

type Unnumbered = Omit<Dosage, "sequence">;

/** What is given again if a condition of the author's holds stands by itself: the first one does not wait for it. */
function givenOf(notCoded: NotCodedList, dose: Dose, amount: AmountNode): Unnumbered[] {
  const { name, over, repeat, sameAmount } = dose;
  const same = sameAmount ? `, the same as ${amountWords(sameAmount.node)}` : "";
  const lasting = over && lastingOf(over);
  if (over && !lasting) notCoded.inWords(`dose ${name}`, `that it takes ${overWords(over)}`);
  const sayable = sayableAmount(amount);
  if (!sayable) notCoded.inWords(`dose ${name}`, `its amount, ${amountWords(amount)}`);
  const quantities = quantitiesOf(sayable);
  const words = over ? ` over ${overWords(over)}` : "";
  const again = repeat ? `; ${repetition(repeat)}` : "";
  const every = repeat && everyOf(repeat.interval);
  if (!repeat?.condition) {
    const repeats = { ...(repeat && { count: repeat.times + 1, ...every }), ...lasting };
    return [
      {
        text: stringOf(`${amountWords(amount)}${same}${words}${again}`),
        ...(Object.keys(repeats).length > 0 && { timing: { repeat: repeats } }),
        ...quantities,
      },
    ];
  }
  return [
    {
      text: stringOf(`${amountWords(amount)}${same}${words}`),
      ...(lasting && { timing: { repeat: lasting } }),
      ...quantities,
    },
    {
      text: stringOf(`${amountWords(amount)}${words}${again}`),
      timing: { repeat: { count: repeat.times, ...every, ...lasting } },
      asNeededCodeableConcept: inWords(repeat.condition.value),
      ...quantities,
    },
  ];
}

function rateOf(notCoded: NotCodedList, dose: Dose): Unnumbered[] {
  const { rate, total, name } = dose;
  if (!rate) return [];
  const { node } = rate;
  const rateQuantity = node.kind === "quantity" ? quantityOf(node.quantity) : undefined;
  if (!rateQuantity) notCoded.inWords(`dose ${name}`, `its rate, ${amountWords(node)}`);
  const most = total && `at most ${amountWords(total.node)}, boluses of the same drug included`;
  if (most) notCoded.inWords(`dose ${name}`, `its total of ${most}`);
  return [
    {
      text: stringOf(`${amountWords(node)}${most ? `; in total ${most}` : ""}`),
      ...(rateQuantity && { doseAndRate: [{ rateQuantity }] }),
    },
  ];
}

/** The elements of a dosage for an amount that they can say. */
export function quantitiesOf(
  sayable: SayableAmount | undefined,
): Pick<Dosage, "doseAndRate" | "maxDosePerAdministration"> {
  if (!sayable) return {};
  const { dose, cap } = sayable;
  return { doseAndRate: [{ doseQuantity: dose }], ...(cap && { maxDosePerAdministration: cap }) };
}

function overWords({ shortest, longest }: Duration): string {
  if (!longest) return `${durationText(shortest)} or more`;
  return lastingText(shortest.valueOf(), longest.valueOf());
}

function repetition({ times, interval, condition }: NonNullable<Dose["repeat"]>): string {
  return `${times} more, one every ${quantityText(interval)}${condition ? ` if ${condition.value}` : ""}`;
}

/** An amount as a dosage can say it: so much, for each kilogram where the unit says so, and never more than a cap. */
export interface SayableAmount {
  readonly dose: FhirQuantity;
  readonly cap?: FhirQuantity;
}

/**
 * The amount in the elements of a dosage; undefined where they cannot say exactly this. Nothing is approximated: a dose that
 * is rounded down, added up or looked up stands in words.
 */
export function sayableAmount(node: AmountNode): SayableAmount | undefined {
  const plain = plainQuantity(node);
  if (plain) return sayable(plain, undefined);
  if (node.kind !== "capped" && node.kind !== "lesser") return undefined;
  const [one, other] = node.kind === "capped" ? [node.of, node.limit] : [node.left, node.right];
  const [first, second] = [plainQuantity(one), plainQuantity(other)];
  if (!first || !second) return undefined;
  const [dose, cap] =
    isPerWeight(second.unit.dimension) && node.kind === "lesser" ? [second, first] : [first, second];
  const isCap = isPerWeight(dose.unit.dimension) && !isPerWeight(cap.unit.dimension);
  return isCap && sameDimension(withoutWeight(dose.unit.dimension), cap.unit.dimension)
    ? sayable(dose, cap)
    : undefined;
}

function sayable(dose: Quantity, cap: Quantity | undefined): SayableAmount | undefined {
  const [said, most] = [quantityOf(dose), cap && quantityOf(cap)];
  if (!said || (cap && !most)) return undefined;
  return { dose: said, ...(most && { cap: most }) };
}

/** A quantity, or a share of one. */
function plainQuantity(node: AmountNode): Quantity | undefined {
  if (node.kind === "quantity") return node.quantity;
  if (node.kind !== "share") return undefined;
  const of = plainQuantity(node.of);
  const factor = node.factor === "half" ? ratio(1, 2) : node.factor.value.div(100);
  return of && { value: of.value.mul(factor), unit: of.unit };
}

function withoutWeight({ weight: _, ...rest }: Dimension): Dimension {
  return rest;
}
