import { durationText, quantityText } from "@limbwright/shared/quantity";
import { type AmountNode, amountWords, type Dose, type Duration } from "../../model/index.ts";
import { lastingText } from "../automaton/words.ts";
import type { NotCodedList } from "./not-coded.ts";
import { everyOf, lastingOf, quantityOf } from "./quantities.ts";
import type { Dosage } from "./resources.ts";
import { sayableAmount } from "./sayable-amount.ts";
import { inWords, stringOf } from "./texts.ts";

/**
 * How a dose is given, in the order in which it is: at once, again under a condition, and as a rate. All of it stands in the
 * text of each; what has an element of its own stands there too. `amount` is the dose's own, or that of one band.
 */
export function dosagesOf(notCoded: NotCodedList, dose: Dose, amount: AmountNode | undefined): Dosage[] {
  const dosages = [
    ...(amount ? [firstOf(notCoded, dose, amount), ...againOf(notCoded, dose, amount)] : []),
    ...rateOf(notCoded, dose),
  ];
  return dosages.map((one, at) => ({ sequence: at + 1, ...one }));
}

type Unnumbered = Omit<Dosage, "sequence">;

function firstOf(notCoded: NotCodedList, dose: Dose, amount: AmountNode): Unnumbered {
  const { over, repeat, sameAmount } = dose;
  const same = sameAmount ? `, the same as ${amountWords(sameAmount.node)}` : "";
  const lasting = over && timing(notCoded, dose, over);
  const times = repeat && !repeat.condition ? { count: repeat.times + 1, ...everyOf(repeat.interval) } : {};
  const repeated = repeat && !repeat.condition ? `; ${repetition(dose)}` : "";
  const text = `${amountWords(amount)}${same}${overText(dose)}${repeated}`;
  const repeats = { ...times, ...lasting };
  return {
    text: stringOf(text),
    ...(Object.keys(repeats).length > 0 && { timing: { repeat: repeats } }),
    ...quantitiesOf(notCoded, dose, amount),
  };
}

/** What is given again if a condition of the author's holds: the first one does not wait for it. */
function againOf(notCoded: NotCodedList, dose: Dose, amount: AmountNode): Unnumbered[] {
  const { repeat, over } = dose;
  if (!repeat?.condition) return [];
  const lasting = over && timing(notCoded, dose, over);
  return [
    {
      text: stringOf(`${amountWords(amount)}${overText(dose)}; ${repetition(dose)}`),
      timing: { repeat: { count: repeat.times, ...everyOf(repeat.interval), ...lasting } },
      asNeededCodeableConcept: inWords(repeat.condition.value),
      ...quantitiesOf(notCoded, dose, amount),
    },
  ];
}

function rateOf(notCoded: NotCodedList, dose: Dose): Unnumbered[] {
  const { rate, total, name } = dose;
  if (!rate) return [];
  const { node } = rate;
  const rateQuantity = node.kind === "quantity" ? quantityOf(node.quantity) : undefined;
  if (!rateQuantity) notCoded.inWords(`dose ${name}`, `its rate, ${amountWords(node)}`);
  if (total) {
    const most = amountWords(total.node);
    notCoded.inWords(`dose ${name}`, `its total of at most ${most}, boluses of the same drug included`);
  }
  const most = total
    ? `; in total at most ${amountWords(total.node)}, boluses of the same drug included`
    : "";
  return [
    {
      text: stringOf(`${amountWords(node)}${most}`),
      ...(rateQuantity && { doseAndRate: [{ rateQuantity }] }),
    },
  ];
}

function quantitiesOf(
  notCoded: NotCodedList,
  { name }: Dose,
  amount: AmountNode,
): Pick<Dosage, "doseAndRate" | "maxDosePerAdministration"> {
  const sayable = sayableAmount(amount);
  if (!sayable) notCoded.inWords(`dose ${name}`, `its amount, ${amountWords(amount)}`);
  return {
    ...(sayable && { doseAndRate: [{ doseQuantity: sayable.dose }] }),
    ...(sayable?.cap && { maxDosePerAdministration: sayable.cap }),
  };
}

function timing(notCoded: NotCodedList, { name }: Dose, over: Duration) {
  const lasting = lastingOf(over);
  if (!lasting) notCoded.inWords(`dose ${name}`, `that it takes ${overWords(over)}`);
  return lasting;
}

function overText({ over }: Dose): string {
  return over ? ` over ${overWords(over)}` : "";
}

function overWords({ shortest, longest }: Duration): string {
  if (!longest) return `${durationText(shortest)} or more`;
  return lastingText(shortest.valueOf(), longest.valueOf());
}

function repetition({ repeat }: Dose): string {
  if (!repeat) return "";
  const condition = repeat.condition ? ` if ${repeat.condition.value}` : "";
  return `${repeat.times} more, one every ${quantityText(repeat.interval)}${condition}`;
}
