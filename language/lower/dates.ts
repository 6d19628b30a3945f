import { isRealDate, nearestRealDay } from "@limbwright/shared/finding";
import type { AstNode } from "langium";
import { writeInstead } from "../model/text-changes.ts";
import type { Lowering } from "./context.ts";

/** A date that exists, as YYYY-MM-DD; 2027-02-30 is reported. */
export function dateOf(
  lowering: Lowering,
  node: AstNode,
  property: string,
  text: string,
): string | undefined {
  if (isRealDate(text)) return text;
  const origin = lowering.originOfProperty(node, property);
  const near = nearestRealDay(text);
  lowering.report({
    rule: "date-not-real",
    origin,
    what: `There is no ${text} in the calendar.`,
    label: "no such day",
    next: "Write year-month-day, such as `2027-06-30`.",
    ...(near && { repairs: writeInstead(origin, near) }),
  });
  return undefined;
}
