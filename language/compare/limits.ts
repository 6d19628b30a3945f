import { inBase, type Quantity } from "@limbwright/shared/quantity";
import { quantityWords, type WrittenQuantity } from "../model/index.ts";
import { bothSides, type FoundChange, kindOf } from "./side.ts";

/** What a bound is called, and in which direction it asks for more. A missing bound asks for nothing. */
export interface Bound {
  readonly about: string;
  /** In a sentence: "The ceiling of the cuff pressure". */
  readonly name: string;
  readonly tighter: "higher" | "lower";
}

/** A bound that rose, fell, came or went: decided by the value alone. Empty where it is the same. */
export function limitChange(
  { about, name, tighter }: Bound,
  before: WrittenQuantity | undefined,
  now: WrittenQuantity | undefined,
): FoundChange[] {
  const isTighter = asksMore(tighter, before, now);
  if (isTighter === undefined) return [];
  return [
    {
      kind: kindOf(!isTighter, isTighter),
      about,
      what: `${name} is ${saidOf(now)} now; before, ${saidOf(before)}.`,
      ...bothSides(before, now, quantityWords),
      evidence: [valueBetween(name, isTighter ? before : now, isTighter)],
    },
  ];
}

/** Whether the later bound asks for more than the earlier one; undefined where both ask for the same. */
export function asksMore(
  tighter: Bound["tighter"],
  before: Quantity | undefined,
  now: Quantity | undefined,
): boolean | undefined {
  if (!before || !now) return before === now ? undefined : before === undefined;
  const side = inBase(now).compare(inBase(before));
  if (side === 0) return undefined;
  return tighter === "higher" ? side > 0 : side < 0;
}

function saidOf(value: Quantity | undefined): string {
  return value ? quantityWords(value) : "not stated";
}

/** The looser value itself passes the one bound and not the other. */
function valueBetween(name: string, looser: Quantity | undefined, isTighter: boolean) {
  const value = looser ? quantityWords(looser) : "any value";
  const lets = isTighter ? "passed before and does not now" : "passes now and did not before";
  return {
    kind: "value" as const,
    side: isTighter ? ("tighter" as const) : ("looser" as const),
    says: `${name}: ${value} ${lets}.`,
  };
}
