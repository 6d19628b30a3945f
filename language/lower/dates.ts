import { isRealDate } from "@limbwright/shared/finding";
import type { AstNode } from "langium";
import type { Lowering } from "./context.ts";

/** A date that exists, as YYYY-MM-DD; 2027-02-30 is reported. */
export function dateOf(
  lowering: Lowering,
  node: AstNode,
  property: string,
  text: string,
): string | undefined {
  if (isRealDate(text)) return text;
  lowering.report({
    rule: "date-not-real",
    origin: lowering.originOfProperty(node, property),
    what: `There is no ${text} in the calendar.`,
    label: "no such day",
    next: "Write year-month-day, such as `2027-06-30`.",
  });
  return undefined;
}
