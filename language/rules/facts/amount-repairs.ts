import type { Origin, Repair, TextChange } from "@limbwright/shared/finding";
import { type Dimension, intersect, isEmpty, type Quantity, quantityText } from "@limbwright/shared/quantity";
import type { Amount, AmountBand, AmountNode } from "../../model/index.ts";
import { needsALook, wordsAfter } from "../../model/text-changes.ts";
import { type Box, compare, type Expression, type Measure } from "../../population/index.ts";

/** What an amount is not to be over: as it is written, and as a function of the patient. */
export interface Most {
  readonly quantity: Quantity;
  readonly limit: Expression;
  readonly measure?: Measure;
}

/** An amount that is over a limit for some patients. */
export interface TooMuch {
  readonly amount: Amount;
  /** The same, measured as the limit is: in mg or in mL. */
  readonly given: Expression;
  readonly most: Most;
  readonly box: Box;
}

/**
 * The repair that lets an amount be nowhere over a limit, and over what it was nowhere: a number that is over it for everybody
 * becomes the limit, all else ends with `up to` it.
 */
export function repairByLowering(tooMuch: TooMuch): Repair[] {
  const changes = ended(tooMuch.amount.node, tooMuch);
  const [only, another] = changes;
  if (!only) return [];
  const words = quantityText(tooMuch.most.quantity);
  if (tooMuch.amount.node.kind === "bands") {
    return needsALook(`Let no row give more than ${words}`, ...changes);
  }
  const isReplaced = !another && only.text === words;
  return needsALook(isReplaced ? `Lower it to ${words}` : `End it with up to ${words}`, ...changes);
}

function ended(node: AmountNode, tooMuch: TooMuch): TextChange[] {
  const { quantity } = tooMuch.most;
  const words = quantityText(quantity);
  const instead = ({ origin }: AmountNode): TextChange[] => [{ origin, text: words }];
  const isLike = (one: AmountNode) => grows(one) === growsWith(quantity.unit.dimension);
  switch (node.kind) {
    case "quantity":
      return isLike(node) ? instead(node) : [wordsAfter(node.origin, `up to ${words}`)];
    case "capped": {
      const like = [node.limit, node.of].find(isLike);
      return like ? instead(like) : [wordsAfter(node.origin, `up to ${words}`)];
    }
    case "lesser": {
      const like = [node.left, node.right].find(isLike);
      return like ? instead(like) : endedInParentheses(node.origin, words);
    }
    case "rounded-down":
      return ended(node.of, tooMuch);
    case "bands":
      return rowsOver(node.rows, tooMuch).flatMap(({ amount }) => ended(amount, tooMuch));
    case "greater":
    case "sum":
    case "difference":
    case "share":
      return endedInParentheses(node.origin, words);
    case "variable":
    case "occlusion-pressure":
      return [];
  }
}

/** Whether a number is one for each kilogram; undefined of what is no number. */
function grows(node: AmountNode): boolean | undefined {
  return node.kind === "quantity" ? growsWith(node.quantity.unit.dimension) : undefined;
}

function growsWith({ weight }: Dimension): boolean {
  return weight === -1;
}

/** Without parentheses the words would cap the last part alone to the reader's eye. */
function endedInParentheses({ file, start, end }: Origin, words: string): TextChange[] {
  return [
    { origin: { file, start, end: start }, text: "(" },
    { origin: { file, start: end, end }, text: `) up to ${words}` },
  ];
}

/** The rows of a table that give some patient too much; every row where they cannot be told apart. */
function rowsOver(rows: readonly AmountBand[], { given, most, box }: TooMuch): readonly AmountBand[] {
  const table = given.kind === "scaled" ? given.of : given;
  if (table.kind !== "bands" || table.rows.length !== rows.length) return rows;
  return rows.filter((_, at) => {
    const row = table.rows[at];
    if (!row) return true;
    const inRow = box[table.variable];
    const range = inRow ? intersect(inRow, row.range) : row.range;
    if (isEmpty(range)) return false;
    const value: Expression = given.kind === "scaled" ? { ...given, of: row.value } : row.value;
    const answer = compare(
      value,
      "at-most",
      most.limit,
      { ...box, [table.variable]: range },
      most.measure ? { measure: most.measure } : {},
    );
    return answer.kind !== "holds";
  });
}
